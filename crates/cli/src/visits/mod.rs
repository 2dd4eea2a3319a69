//! `visits`: plan a visit, rerun a recorded trace, keep the log, tell its figures.

mod log;
mod plan;
mod trace;

use clap::Subcommand;

use crate::output::Failures;

/// Options of `visits`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    /// Plan a visit: what fits each patient and why not, in which order, how long, how to seat him
    Plan(plan::Args),
    /// Check a recorded trace (CSV)
    Trace(trace::CheckArgs),
    /// Run a recorded trace beside its plan
    Rerun(trace::RerunArgs),
    /// Write visits (.ron files) into the log
    Add(log::AddArgs),
    /// List the log
    List(log::ListArgs),
    /// Write the log as a table
    Export(log::ExportArgs),
    /// Copy the log into another file
    Backup(log::BackupArgs),
    /// Tell prevalence, success and switches, with intervals
    Figures(log::FiguresArgs),
}

/// Does what was asked.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    match &args.verb {
        Verb::Plan(args) => plan::run(args),
        Verb::Trace(args) => trace::check(args),
        Verb::Rerun(args) => trace::run(args),
        Verb::Add(args) => log::add(args),
        Verb::List(args) => log::list(args),
        Verb::Export(args) => log::export(args),
        Verb::Backup(args) => log::back_up(args),
        Verb::Figures(args) => log::figures(args),
    }
}
