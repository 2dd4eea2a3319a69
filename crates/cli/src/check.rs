//! `check`: scenarios read and compiled, not computed.

use std::path::PathBuf;

use lithodrome_rehearsal::compile_file;
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
}

/// Checks every file.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    let checks: Vec<_> = args
        .files
        .iter()
        .map(|file| {
            let error = compile_file(file).err().map(|e| e.to_string());
            FileCheck {
                file: file.display().to_string(),
                ok: error.is_none(),
                error,
            }
        })
        .collect();
    if args.json {
        print_json(&checks)?;
    } else {
        let sound = checks.iter().filter(|c| c.ok);
        let lines: Vec<_> = sound.map(|c| format!("{}: ok\n", c.file)).collect();
        print(&lines.concat())?;
    }
    Failures::none_of(checks.into_iter().filter_map(|c| c.error).collect())
}
