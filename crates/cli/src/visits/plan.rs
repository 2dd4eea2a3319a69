//! `visits plan`: a day's patients held against tests and manoeuvres.

use std::path::PathBuf;

use lithodrome_study::{OutcomeMap, cleared_rows, shipped_map};
use lithodrome_visits::{ClearedShare, ShareRow, ShareTable, plan_from_ron, plan_of};

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

/// Plans and prints; shares of ears are those of the shipped map.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    let map = shipped_map().map_err(|e| Failures::one(&e))?;
    let plan = plan_from_ron(&args.file)
        .and_then(|visit| plan_of(&visit, &table(&map)))
        .map_err(|e| Failures::one(&e))?;
    if args.json {
        print_json(&plan)
    } else {
        print(&plan.text())
    }
}

/// The shares of the map as the plan takes them.
fn table(map: &OutcomeMap) -> ShareTable {
    let rows = cleared_rows(map).into_iter().map(|row| ShareRow {
        manoeuvre: row.manoeuvre,
        canal: row.canal,
        place: row.place,
        share: ClearedShare {
            cleared: row.share.share,
            low: row.share.low,
            high: row.share.high,
        },
    });
    ShareTable {
        rows: rows.collect(),
    }
}
