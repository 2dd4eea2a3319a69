//! `study`: sequences over a population of ears, on this machine or in parts.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::Instant;

use comfy_table::Table;
use lithodrome_rehearsal::{CAUTION, folder_of};
use lithodrome_study::{
    Counts, PartNumber, Row, Share, Strain, Study, StudyError, StudyFile, StudyReport, Summary,
    SweepReport, compute, merge, part_files, report, run_part, write_csv, write_json,
    write_parquet,
};

use crate::output::{Failures, Replacing, fitting, print, print_json};
use crate::progress::Progress;

/// Options of `study`.
#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(crate) struct Args {
    #[command(subcommand)]
    merge: Option<Merge>,
    /// The study file
    #[arg(value_name = "FILE", required = true)]
    file: Option<PathBuf>,
    /// Threads; as many as there are processors if left out
    #[arg(long, value_name = "N")]
    threads: Option<usize>,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
    /// Only this part of the ears, such as 3/64; its rows are kept in the folder --out
    #[arg(long, value_name = "K/N", requires = "out")]
    part: Option<PartNumber>,
    /// Write what was found: .json the document, .csv or .parquet all rows; with --part a folder
    #[arg(long, value_name = "OUT")]
    out: Option<PathBuf>,
    #[command(flatten)]
    replacing: Replacing,
}

#[derive(Debug, clap::Subcommand)]
enum Merge {
    /// Put parts together: the very bytes that one machine gives
    Merge {
        /// Folder with the parts
        #[arg(value_name = "DIR")]
        folder: PathBuf,
        /// Write what was found: .json the document, .csv or .parquet all rows
        #[arg(long, value_name = "OUT")]
        out: PathBuf,
        #[command(flatten)]
        replacing: Replacing,
    },
}

/// Computes a study, a part of it, or puts parts together.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    let done = match (&args.merge, &args.file) {
        (
            Some(Merge::Merge {
                folder,
                out,
                replacing,
            }),
            _,
        ) => merged(folder, out, replacing).map(|()| None),
        (None, Some(file)) => computed(args, file),
        (None, None) => Ok(None),
    };
    match done.map_err(|e| Failures::one(&e))? {
        Some(found) if args.json => print_json(&found),
        Some(found) => print(&text(&found)),
        None => Ok(()),
    }
}

fn merged(folder: &Path, out: &Path, replacing: &Replacing) -> Result<(), StudyError> {
    replacing.check(out, &part_files(folder)?)?;
    let (study, rows) = merge(folder)?;
    write(&study, &rows, out)
}

/// Nothing is shown of a part.
fn computed(args: &Args, file: &Path) -> Result<Option<StudyReport>, StudyError> {
    let began = Instant::now();
    let asked = StudyFile::read(file)?;
    if let (Some(out), None) = (&args.out, args.part) {
        args.replacing.check(out, &asked.files(file))?;
    }
    let study = asked.resolve(folder_of(file))?;
    let bar = Mutex::new(Progress::new(&study.file.title));
    let tell = |done: u32, of: u32| match bar.lock() {
        Ok(mut bar) => bar.tell(f64::from(done) / f64::from(of.max(1))),
        Err(_) => ControlFlow::Continue(()),
    };
    if let (Some(part), Some(folder)) = (args.part, &args.out) {
        run_part(&study, part, folder, args.threads, &tell)?;
        return Ok(None);
    }
    let rows = compute(&study.question()?, 0..study.file.n, args.threads, &tell)?;
    if let Some(out) = &args.out {
        write(&study, &rows, out)?;
    }
    let mut found = report(&study, &rows)?;
    found.seconds = Some(began.elapsed().as_secs_f64());
    Ok(Some(found))
}

/// The document or the rows, as the file's ending says.
fn write(study: &Study, rows: &[Row], out: &Path) -> Result<(), StudyError> {
    match out.extension().and_then(|e| e.to_str()) {
        Some("csv") => write_csv(study, rows, out),
        Some("parquet") => write_parquet(study, rows, out),
        Some("json") => write_json(&report(study, rows)?, out),
        _ => Err(StudyError::Write {
            path: out.to_owned(),
            reason: "its ending has to be .json, .csv or .parquet".to_owned(),
        }),
    }
}

/// One table of shares, then what each sequence's ears depend on.
fn text(found: &StudyReport) -> String {
    let mut table = Table::new();
    fitting(&mut table).set_header([
        "sequence",
        "cleared [95 %]",
        "behind cupula",
        "inside",
        "held",
        "passing",
        "switched",
        "failed",
    ]);
    for sequence in &found.sequences {
        table.add_row(row(sequence));
    }
    let mut parts = vec![format!(
        "{}\n{}, {} ears, seed {}; {}\n{table}\n",
        found.title, found.canal, found.n, found.seed, found.mixture
    )];
    for (sequence, strain) in found.sequences.iter().zip(&found.strain) {
        parts.push(details(sequence, strain));
    }
    for compared in &found.compared {
        parts.push(format!(
            "{} beside {}, same ears: {}\n",
            compared.sequence, compared.beside, compared.words
        ));
    }
    if let Some(sweep) = &found.sweep {
        parts.push(grid(sweep));
    }
    parts.push(format!("{CAUTION}\n"));
    parts.join("\n")
}

fn row(sequence: &Summary) -> Vec<String> {
    let Counts {
        cleared,
        passing,
        switched,
        behind_cupula,
        held,
        inside,
        failed,
    } = sequence.counts;
    let n = sequence.n;
    let share = |count: u64| percent(Share::of(count, n).share);
    let interval = format!(
        "{} [{}, {}]",
        share(cleared),
        percent(sequence.cleared_low),
        percent(sequence.cleared_high)
    );
    let mut cells = vec![sequence.sequence.clone(), interval];
    cells.extend([behind_cupula, inside, held, passing, switched, failed].map(share));
    cells
}

fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

fn details(sequence: &Summary, strain: &Strain) -> String {
    let mut lines = vec![format!("{}:", sequence.sequence)];
    lines.push(format!(
        "  {:.0} s in all, crown at most {:.0}° below the horizontal, {:.0} s inverted, {:.0}° of turning",
        strain.duration_s, strain.lowest_head_deg, strain.inverted_s, strain.turning_deg
    ));
    if let Some(exit) = &sequence.exit_s {
        lines.push(format!(
            "  last body out after {:.0} s (half of them {:.0} to {:.0} s)",
            exit.q50, exit.q25, exit.q75
        ));
    }
    for step in &sequence.exits {
        if let Some(spare) = &step.spare_s {
            lines.push(format!(
                "  leaves in step {}: {} of ears, with {:.0} s to spare (a twentieth below {:.0} s)",
                step.step,
                percent(step.share),
                spare.q50,
                spare.q05
            ));
        }
    }
    if let Some(miss) = &sequence.nearest_miss_mm {
        lines.push(format!(
            "  nearest to the divide of a wrong canal {:.1} mm (a twentieth nearer than {:.1} mm), of the first ears that come near one",
            miss.q50, miss.q05
        ));
    }
    for (end, share) in sequence.ends.iter().filter(|(end, _)| *end != "cleared") {
        lines.push(format!(
            "  {end}: {} [{}, {}]",
            percent(share.share),
            percent(share.low),
            percent(share.high)
        ));
    }
    for (place, share) in &sequence.switched_to {
        lines.push(format!(
            "  switched to {place}: {} [{}, {}]",
            percent(share.share),
            percent(share.low),
            percent(share.high)
        ));
    }
    let most: Vec<String> = sequence
        .sensitivity
        .iter()
        .take(4)
        .map(|s| format!("{} {:.2}", s.input, s.first_order))
        .collect();
    if !most.is_empty() {
        lines.push(format!("  decided most by {}", most.join(", ")));
    }
    for failed in sequence.errors.iter().take(3) {
        lines.push(format!("  ear {} failed: {}", failed.index, failed.error));
    }
    lines.join("\n") + "\n"
}

/// Shares cleared over the grid: the first axis down, the second across.
fn grid(sweep: &SweepReport) -> String {
    let mut table = Table::new();
    fitting(&mut table);
    let columns = sweep.values.get(1).map_or(1, Vec::len);
    let across = match sweep.values.get(1) {
        Some(values) => values.iter().map(ToString::to_string).collect(),
        None => vec!["cleared".to_owned()],
    };
    table.set_header(std::iter::once(sweep.axes.join(" \\ ")).chain(across));
    let first = sweep.values.first().map_or(&[][..], Vec::as_slice);
    for (value, shares) in first.iter().zip(sweep.cleared.chunks(columns)) {
        let cells = shares.iter().map(|share| percent(share.share));
        table.add_row(std::iter::once(value.to_string()).chain(cells));
    }
    format!("{}, share cleared:\n{table}\n", sweep.sequence)
}
