//! `visits plan`: a day's patients held against tests and manoeuvres.

use std::path::PathBuf;

use lithodrome_visits::{plan_from_ron, plan_of};

use crate::output::{Failures, print, print_json};

/// Options of `visits plan`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The visit's file
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

/// Plans and prints.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    let plan = plan_from_ron(&args.file)
        .and_then(|visit| plan_of(&visit, &|_, _| None))
        .map_err(|e| Failures::one(&e))?;
    if args.json {
        print_json(&plan)
    } else {
        print(&plan.text())
    }
}
