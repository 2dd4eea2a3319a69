//! `sheet`: a manoeuvre or test on paper.

use std::ops::ControlFlow;
use std::path::PathBuf;

use clap::ValueEnum;
use lithodrome_rehearsal::{EarsCache, folder_of, read_scenario};
use lithodrome_study::{plausible_band, verdict_over};
use lithodrome_visits::{Paper, moves_debris, sheet_of, write_sheet};

use crate::output::{Failures, Replacing};

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
    /// Leave out what a dozen plausible ears say
    #[arg(long)]
    one_ear: bool,
    #[command(flatten)]
    replacing: Replacing,
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
    let folder = folder_of(&args.file);
    let scenario = read_scenario(&args.file).map_err(|e| Failures::one(&e))?;
    args.replacing
        .check(&args.out, &scenario.files(&args.file))
        .map_err(|e| Failures::one(&e))?;
    let sheet = sheet_of(&scenario, folder).map_err(|e| Failures::one(&e))?;
    let sheet = if args.one_ear || !moves_debris(&scenario) {
        sheet
    } else {
        let band = plausible_band(&scenario.anatomy, folder, &EarsCache::default());
        let band = band.map_err(|e| Failures::one(&e))?;
        let says = verdict_over(&scenario, &band, &|| ControlFlow::Continue(()));
        sheet.over_band(&says.map_err(|e| Failures::one(&e))?)
    };
    write_sheet(&sheet, paper, &args.out).map_err(|e| Failures::one(&e))
}
