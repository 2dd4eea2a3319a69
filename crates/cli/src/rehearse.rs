//! `rehearse`: scenarios computed, as text, JSON or a trace.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use clap::{CommandFactory, ValueEnum, error::ErrorKind};
use lithodrome_debris::Engine;
use lithodrome_rehearsal::{
    EarsCache, Report, compile_with, folder_of, read_scenario, rehearse_with_progress, report_text,
    write_trace,
};
use lithodrome_study::{StudyError, plausible_band, verdict_over};
use serde::Serialize;

use crate::Cli;
use crate::output::{Failures, Replacing, print, print_json};
use crate::progress::Progress;

/// Options of `rehearse`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Scenario files
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Engine to use instead of the scenario's
    #[arg(long, value_enum)]
    engine: Option<EngineName>,
    /// Seed to use instead of the scenario's
    #[arg(long, value_name = "N")]
    seed: Option<u64>,
    /// Judge in the scenario's own ear only; without it, a dozen plausible ears are asked too
    #[arg(long)]
    one_ear: bool,
    /// Print one JSON document: an object for one file, a list for several
    #[arg(long)]
    json: bool,
    /// Write the run over time as a CSV table; for one file only
    #[arg(long, value_name = "OUT.csv")]
    trace: Option<PathBuf>,
    #[command(flatten)]
    replacing: Replacing,
}

/// Engines by name.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum EngineName {
    /// Overdamped point bodies, fast
    Settling,
    /// Rigid bodies with contacts between them
    Rigid,
}

impl EngineName {
    fn engine(self) -> Engine {
        match self {
            EngineName::Settling => Engine::Settling,
            EngineName::Rigid => Engine::Rigid,
        }
    }
}

/// A report and where its scenario is from.
#[derive(Serialize)]
struct FileReport {
    file: String,
    #[serde(flatten)]
    report: Report,
}

/// Computes every file; one that fails does not keep the others from running.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    if args.trace.is_some() && args.files.len() > 1 {
        let words = "--trace takes one scenario FILE, not several";
        Cli::command()
            .error(ErrorKind::ArgumentConflict, words)
            .exit();
    }
    let ears = EarsCache::default();
    let mut reports = Vec::new();
    let mut failures = Vec::new();
    for file in &args.files {
        match rehearse_file(args, file, &ears) {
            Ok(report) => reports.push(FileReport {
                file: file.display().to_string(),
                report,
            }),
            Err(e) => failures.push(e.in_file(file).to_string()),
        }
    }
    show(args, &reports)?;
    Failures::none_of(failures)
}

fn rehearse_file(args: &Args, file: &Path, ears: &EarsCache) -> Result<Report, StudyError> {
    let mut scenario = read_scenario(file)?;
    if let Some(trace) = &args.trace {
        args.replacing.check(trace, &scenario.files(file))?;
    }
    scenario.engine = args.engine.map(EngineName::engine).or(scenario.engine);
    scenario.seed = args.seed.or(scenario.seed);
    let compiled = compile_with(&scenario, folder_of(file), ears)?;
    let mut progress = Progress::new(&scenario.title);
    let rehearsed = rehearse_with_progress(&compiled, &mut |share| progress.tell(share))?;
    if let Some(trace) = &args.trace {
        write_trace(&compiled, &rehearsed.run, &rehearsed.eyes, trace)?;
    }
    if args.one_ear || scenario.debris.is_empty() {
        return Ok(rehearsed.report);
    }
    let band = plausible_band(&scenario.anatomy, folder_of(file), ears)?;
    let verdict = verdict_over(&scenario, &band, &|| ControlFlow::Continue(()))?;
    Ok(rehearsed.report.over_band(&verdict))
}

fn show(args: &Args, reports: &[FileReport]) -> Result<(), Failures> {
    if !args.json {
        let texts: Vec<_> = reports.iter().map(|r| report_text(&r.report)).collect();
        return print(&texts.join("\n"));
    }
    match (reports, args.files.len()) {
        ([], 1) => Ok(()),
        ([report], 1) => print_json(report),
        _ => print_json(&reports),
    }
}
