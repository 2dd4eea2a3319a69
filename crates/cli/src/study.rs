//! `study`: sequences over a population of ears, on this machine or in parts.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::Instant;

use comfy_table::{Table, presets::UTF8_FULL_CONDENSED};
use lithodrome_rehearsal::CAUTION;
use lithodrome_study::{
    Counts, Share, StudyError, StudyFile, StudyReport, Summary, compute, report,
};

use crate::output::{Failures, print, print_json};
use crate::progress::Progress;

/// Options of `study`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The study file
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Threads; as many as there are processors if left out
    #[arg(long, value_name = "N")]
    threads: Option<usize>,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

/// Computes a study and shows what it found.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    let found = computed(args).map_err(|e| Failures::one(&e))?;
    if args.json {
        return print_json(&found);
    }
    print(&text(&found))
}

fn computed(args: &Args) -> Result<StudyReport, StudyError> {
    let began = Instant::now();
    let base_dir = args.file.parent().unwrap_or(Path::new(""));
    let study = StudyFile::read(&args.file)?.resolve(base_dir)?;
    let question = study.question()?;
    let bar = Mutex::new(Progress::new(&study.file.title));
    let tell = |done: u32, of: u32| match bar.lock() {
        Ok(mut bar) => bar.tell(f64::from(done) / f64::from(of)),
        Err(_) => ControlFlow::Continue(()),
    };
    let rows = compute(&question, 0..study.file.n, args.threads, &tell)?;
    let mut found = report(&study, &rows)?;
    found.seconds = Some(began.elapsed().as_secs_f64());
    Ok(found)
}

/// One table of shares, then what each sequence's ears depend on.
fn text(found: &StudyReport) -> String {
    let mut table = Table::new();
    table.load_preset(UTF8_FULL_CONDENSED).set_header([
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
    for sequence in &found.sequences {
        parts.push(details(sequence));
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
    let of_cleared = Share::of(cleared, n);
    let interval = format!(
        "{} [{}, {}]",
        percent(of_cleared.share),
        percent(of_cleared.low),
        percent(of_cleared.high)
    );
    let mut cells = vec![sequence.sequence.clone(), interval];
    cells.extend([behind_cupula, inside, held, passing, switched, failed].map(share));
    cells
}

fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

fn details(sequence: &Summary) -> String {
    let mut lines = vec![format!("{}:", sequence.sequence)];
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
