//! The verbs of the log.

use std::fmt::Write;
use std::path::{Path, PathBuf};

use lithodrome_rehearsal::write_whole;
use lithodrome_visits::{
    Log, LogError, Table, default_log_path, export_log, figures_of, figures_svg, visit_from_ron,
};

use crate::output::{Failures, Replacing, print, print_json};

/// Where the log is.
#[derive(Debug, clap::Args)]
struct Place {
    /// The log's file; in the folder of the user's data if left out
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
}

impl Place {
    fn path(&self) -> Result<PathBuf, Failures> {
        let path = match &self.log {
            Some(path) => Ok(path.clone()),
            None => default_log_path(),
        };
        path.map_err(|e| fault(&e))
    }

    /// The log to write into, made if it is not there.
    fn open(&self) -> Result<Log, Failures> {
        Log::open(&self.path()?).map_err(|e| fault(&e))
    }

    /// The log to read; one that is not there is none.
    fn open_there(&self) -> Result<Log, Failures> {
        Log::open_there(&self.path()?).map_err(|e| fault(&e))
    }

    /// An output beside the log: never the log itself.
    fn may_write(&self, replacing: &Replacing, out: &Path) -> Result<(), Failures> {
        let log = self.path()?;
        let checked = replacing.check(out, &[log.as_path()]);
        checked.map_err(|e| Failures::one(&e))
    }
}

fn fault(error: &LogError) -> Failures {
    Failures::one(error)
}

/// Options of `visits add`.
#[derive(Debug, clap::Args)]
pub(crate) struct AddArgs {
    /// Visits, one a file
    #[arg(required = true, value_name = "VISIT.ron")]
    files: Vec<PathBuf>,
    #[command(flatten)]
    place: Place,
}

/// Options of `visits list`.
#[derive(Debug, clap::Args)]
pub(crate) struct ListArgs {
    /// Print one JSON document
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    place: Place,
}

/// Options of `visits export`.
#[derive(Debug, clap::Args)]
pub(crate) struct ExportArgs {
    /// File to write
    #[arg(long, value_name = "OUT.csv")]
    out: PathBuf,
    /// For spreadsheet programs: marked as UTF-8, no cell begins a formula
    #[arg(long)]
    spreadsheet: bool,
    #[command(flatten)]
    replacing: Replacing,
    #[command(flatten)]
    place: Place,
}

/// Options of `visits backup`.
#[derive(Debug, clap::Args)]
pub(crate) struct BackupArgs {
    /// File to write
    #[arg(long, value_name = "OUT")]
    out: PathBuf,
    #[command(flatten)]
    replacing: Replacing,
    #[command(flatten)]
    place: Place,
}

/// Options of `visits figures`.
#[derive(Debug, clap::Args)]
pub(crate) struct FiguresArgs {
    /// Length of an episode that is assumed for the share over a year, days; may be given several times
    #[arg(long, value_name = "D", default_values_t = [14.0, 39.0], value_parser = days)]
    episode_days: Vec<f64>,
    /// Draw the share by home as SVG
    #[arg(long, value_name = "OUT.svg")]
    plot: Option<PathBuf>,
    #[command(flatten)]
    replacing: Replacing,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    place: Place,
}

/// Writes visits down; all files are read before the first is written.
pub(crate) fn add(args: &AddArgs) -> Result<(), Failures> {
    let visits: Vec<_> = args.files.iter().map(|f| visit_from_ron(f)).collect();
    let failed = visits.iter().filter_map(|v| v.as_ref().err());
    Failures::none_of(failed.map(ToString::to_string).collect())?;
    let mut log = args.place.open()?;
    let mut text = String::new();
    for visit in visits.iter().flatten() {
        let id = log.add(visit).map_err(|e| fault(&e))?;
        // Writing into a String does not fail.
        let _ = writeln!(text, "visit {id}: {} on {}", visit.patient, visit.date);
    }
    print(&text)
}

/// Lists visits.
pub(crate) fn list(args: &ListArgs) -> Result<(), Failures> {
    let visits = args.place.open_there()?.visits().map_err(|e| fault(&e))?;
    if args.json {
        return print_json(&visits);
    }
    let mut text = String::new();
    for logged in &visits {
        let v = &logged.visit;
        let ends: Vec<_> = v.treatments.iter().map(|t| t.end.name()).collect();
        let ends = if ends.is_empty() {
            "not treated".to_owned()
        } else {
            ends.join(", then ")
        };
        let _ = writeln!(
            text,
            "{} {} {} {}: {} tests, {} canals, {ends}, {:.0} min",
            logged.id,
            v.date,
            v.home,
            v.patient,
            v.seen.len(),
            v.affected.len(),
            v.minutes
        );
    }
    print(&text)
}

/// Writes the log as a table.
pub(crate) fn export(args: &ExportArgs) -> Result<(), Failures> {
    args.place.may_write(&args.replacing, &args.out)?;
    let table = if args.spreadsheet {
        Table::Spreadsheet
    } else {
        Table::Csv
    };
    export_log(&args.place.open_there()?, table, &args.out).map_err(|e| fault(&e))
}

/// Copies the log.
pub(crate) fn back_up(args: &BackupArgs) -> Result<(), Failures> {
    args.place.may_write(&args.replacing, &args.out)?;
    args.place
        .open_there()?
        .back_up_to(&args.out)
        .map_err(|e| fault(&e))
}

/// Tells the figures.
pub(crate) fn figures(args: &FiguresArgs) -> Result<(), Failures> {
    if let Some(plot) = &args.plot {
        args.place.may_write(&args.replacing, plot)?;
        is_svg(plot)?;
    }
    let visits = args.place.open_there()?.visits().map_err(|e| fault(&e))?;
    let figures = figures_of(&visits, &args.episode_days);
    if let Some(plot) = &args.plot {
        let drawn = figures_svg(&figures);
        write_whole(plot, |w| w.write_all(drawn.as_bytes())).map_err(|e| Failures::one(&e))?;
    }
    if args.json {
        print_json(&figures)
    } else {
        print(&figures.text())
    }
}

/// The plot is an SVG drawing, whatever its file is called.
fn is_svg(plot: &Path) -> Result<(), Failures> {
    let ending = plot.extension().and_then(|e| e.to_str());
    if ending.is_some_and(|e| e.eq_ignore_ascii_case("svg")) {
        return Ok(());
    }
    let found = ending.map_or_else(|| "no ending".to_owned(), |e| format!(".{e}"));
    let plot = plot.display();
    Err(Failures::one(&format!(
        "{plot}: found {found}, allowed is a name that ends in .svg"
    )))
}

/// Length of an episode, days.
fn days(text: &str) -> Result<f64, String> {
    let days = text.parse().ok().filter(|d| (1.0..=3_650.0).contains(d));
    days.ok_or_else(|| "allowed are 1 to 3650 days".to_owned())
}
