//! `sheet`: a manoeuvre or test on paper.

use std::path::{Path, PathBuf};

use clap::ValueEnum;
use lithodrome_rehearsal::read_scenario;
use lithodrome_visits::{Paper, VisitError, sheet_of, write_sheet};

use crate::output::Failures;

/// Options of `sheet`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Scenario file
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// File to write, with the ending .pdf or .svg
    #[arg(long, value_name = "X.pdf")]
    out: PathBuf,
    /// Size of the paper
    #[arg(long, value_enum, default_value = "a4")]
    paper: PaperName,
}

/// Papers by name.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum PaperName {
    /// 210 × 297 mm
    A4,
    /// 8.5 × 11 inches
    Letter,
}

/// Computes the file and writes its sheet.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    let paper = match args.paper {
        PaperName::A4 => Paper::A4,
        PaperName::Letter => Paper::Letter,
    };
    let done = read_scenario(&args.file)
        .map_err(VisitError::from)
        .and_then(|s| sheet_of(&s, args.file.parent().unwrap_or(Path::new(""))))
        .and_then(|sheet| write_sheet(&sheet, paper, &args.out));
    done.map_err(|e| Failures::one(&e))
}
