//! `check`: scenarios read and compiled, not computed.

use std::path::PathBuf;

use lithodrome_rehearsal::{Compiled, all_breaches, compile_file};
use serde::Serialize;

use crate::output::{Failures, print, print_json};

/// Options of `check`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Scenario files
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Print a JSON list of files
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct FileCheck {
    file: String,
    ok: bool,
    error: Option<String>,
    /// Limits that it breaks and head directions that a neck does not reach.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    warnings: Vec<String>,
}

/// Checks every file.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    let checks: Vec<_> = args
        .files
        .iter()
        .map(|file| {
            let compiled = compile_file(file);
            FileCheck {
                file: file.display().to_string(),
                ok: compiled.is_ok(),
                warnings: compiled.as_ref().map(warnings).unwrap_or_default(),
                error: compiled.err().map(|e| e.to_string()),
            }
        })
        .collect();
    if args.json {
        print_json(&checks)?;
    } else {
        let sound = checks.iter().filter(|c| c.ok);
        let lines: Vec<_> = sound
            .flat_map(|c| {
                let warnings = c.warnings.iter().map(|w| format!("  {w}\n"));
                std::iter::once(format!("{}: ok\n", c.file)).chain(warnings)
            })
            .collect();
        print(&lines.concat())?;
    }
    Failures::none_of(checks.into_iter().filter_map(|c| c.error).collect())
}

/// What is known before anything is computed.
fn warnings(compiled: &Compiled) -> Vec<String> {
    let breaches = all_breaches(&compiled.scenario, &compiled.motion);
    let short = compiled.shortfalls.iter().map(ToString::to_string);
    short
        .chain(breaches.iter().map(ToString::to_string))
        .collect()
}
