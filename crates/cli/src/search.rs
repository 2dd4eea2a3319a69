//! `search`: a sequence of postures within a patient's limits that clears most ears.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::Instant;

use comfy_table::Table;
use lithodrome_rehearsal::{folder_of, write_scenario};
use lithodrome_study::{SearchFile, SearchReport, SearchStage, Strain, StudyError, search};

use crate::output::{Failures, Replacing, fitting, print, print_json};
use crate::progress::Progress;

/// Options of `search`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The search file
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Threads; as many as there are processors if left out
    #[arg(long, value_name = "N")]
    threads: Option<usize>,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
    /// Write the sequence that is found as a scenario
    #[arg(long, value_name = "OUT.ron")]
    out: Option<PathBuf>,
    #[command(flatten)]
    replacing: Replacing,
}

/// Computes a search. One that finds nothing has done its work.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    let report = found(args, &args.file).map_err(|e| Failures::one(&e))?;
    if args.json {
        return print_json(&report);
    }
    print(&text(&report))
}

fn found(args: &Args, file: &Path) -> Result<SearchReport, StudyError> {
    let began = Instant::now();
    let asked = SearchFile::read(file)?;
    if let Some(out) = &args.out {
        args.replacing.check(out, &asked.files(file))?;
    }
    let title = asked.title.clone();
    let asked = asked
        .resolve(folder_of(file))
        .map_err(|e| e.in_file(file))?;
    let bar = Mutex::new(Progress::new(&title));
    let tell = |stage: SearchStage, done: u32, of: u32| match bar.lock() {
        Ok(mut bar) => bar.tell(stage.share(done, of)),
        Err(_) => ControlFlow::Continue(()),
    };
    let mut searched = search(&asked, args.threads, &tell)?;
    drop(bar);
    if let (Some(out), Some(scenario)) = (&args.out, &searched.found) {
        write_scenario(scenario, out)?;
    }
    searched.report.seconds = Some(began.elapsed().as_secs_f64());
    Ok(searched.report)
}

/// The sequence as a table, then why it is this one.
fn text(report: &SearchReport) -> String {
    let mut parts = vec![format!(
        "{}\n{}; {}; {}",
        report.title,
        report.canal,
        report.limits.words(),
        report.mixture
    )];
    if report.found {
        parts.push(table(report).to_string());
        let strain = report.strain.iter().map(|s| ("found", s));
        let beside = report.beside.iter().map(|b| (b.title.as_str(), &b.strain));
        parts.extend(
            strain
                .chain(beside)
                .map(|(name, strain)| asks(name, strain)),
        );
        for (hold, number) in report.sequence.iter().zip(1..) {
            parts.push(format!("Hold {number}: {}", hold.reason.words));
        }
    }
    if let Some(strict) = &report.in_utricle {
        let words = strict.words.as_ref();
        parts.push(format!(
            "In the utricle after a minute of sitting, a short arm not counted: {} [{}, {}]{}",
            percent(strict.share),
            percent(strict.low),
            percent(strict.high),
            words.map_or_else(String::new, |words| format!("; {words}"))
        ));
    }
    parts.extend(report.by_canal.iter().map(|of| {
        format!(
            "{}: {} [{}, {}]",
            of.canal,
            percent(of.share),
            percent(of.low),
            percent(of.high)
        )
    }));
    parts.push(report.why.clone());
    parts.push(report.caution.to_owned());
    parts.join("\n\n") + "\n"
}

fn table(report: &SearchReport) -> Table {
    let mut table = Table::new();
    fitting(&mut table).set_header([
        "hold",
        "position",
        "yaw",
        "track",
        "move",
        "hold",
        "without it",
    ]);
    for (hold, number) in report.sequence.iter().zip(1..) {
        table.add_row([
            number.to_string(),
            hold.name.clone(),
            format!("{:.0}°", hold.yaw_deg),
            format!("{:.0}°", hold.track_deg),
            format!("{:.1} s", hold.move_s),
            format!("{:.0} s", hold.hold_s),
            percent(hold.reason.share_without),
        ]);
    }
    table
}

fn asks(name: &str, strain: &Strain) -> String {
    format!(
        "{name}: {:.0} s in all, crown at most {:.0}° below the horizontal, {:.0} s inverted, {:.0}° of turning",
        strain.duration_s, strain.lowest_head_deg, strain.inverted_s, strain.turning_deg
    )
}

fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}
