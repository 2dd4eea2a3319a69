//! `visits trace` and `visits rerun`: recorded traces.

use std::path::{Path, PathBuf};

use lithodrome_rehearsal::read_scenario;
use lithodrome_visits::{VisitError, read_trace, rerun};

use crate::output::{Failures, print, print_json};

/// Options of `visits trace`.
#[derive(Debug, clap::Args)]
pub(crate) struct CheckArgs {
    /// The trace
    #[arg(value_name = "TRACE.csv")]
    file: PathBuf,
}

/// Options of `visits rerun`.
#[derive(Debug, clap::Args)]
pub(crate) struct RerunArgs {
    /// The plan, a scenario
    #[arg(value_name = "PLAN")]
    plan: PathBuf,
    /// The trace
    #[arg(value_name = "TRACE.csv")]
    trace: PathBuf,
    /// Sensor to run instead of the first one
    #[arg(long, value_name = "NAME")]
    sensor: Option<String>,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

/// One line a fault.
fn failures(error: &VisitError) -> Failures {
    match error {
        VisitError::Trace { path, problems } => {
            let path = path.display();
            Failures(problems.iter().map(|p| format!("{path}: {p}")).collect())
        }
        other => Failures::one(other),
    }
}

/// Reads a trace and says what it holds.
pub(crate) fn check(args: &CheckArgs) -> Result<(), Failures> {
    let trace = read_trace(&args.file).map_err(|e| failures(&e))?;
    let names: Vec<_> = trace.sensors.iter().map(|s| s.name.as_str()).collect();
    print(&format!("sound; sensors: {}\n", names.join(", ")))
}

/// Runs plan and trace.
pub(crate) fn run(args: &RerunArgs) -> Result<(), Failures> {
    let base_dir = args.plan.parent().unwrap_or(Path::new(""));
    let trace = read_trace(&args.trace).map_err(|e| failures(&e))?;
    let both = read_scenario(&args.plan)
        .map_err(VisitError::from)
        .and_then(|plan| rerun(&plan, base_dir, &trace, args.sensor.as_deref()))
        .map_err(|e| failures(&e))?;
    if args.json {
        print_json(&both)
    } else {
        print(&both.text())
    }
}
