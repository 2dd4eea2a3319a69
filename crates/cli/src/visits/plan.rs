//! `visits plan`: a day's patients held against tests and manoeuvres.

use std::path::PathBuf;

use lithodrome_rehearsal::Mechanism;
use lithodrome_study::{MapCell, OutcomeMap, SIZE_CLASSES_UM, shipped_map};
use lithodrome_visits::{Suspected, plan_from_ron, plan_of};

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
        .and_then(|visit| plan_of(&visit, &|name, suspected| share(&map, name, suspected)))
        .map_err(|e| Failures::one(&e))?;
    if args.json {
        print_json(&plan)
    } else {
        print(&plan.text())
    }
}

/// Share of ears that a treatment clears of clumps of middle size; debris whose place is not known counts
/// as in the ampullary arm. The map is of right ears, whose mirror images the left ones are.
fn share(map: &OutcomeMap, name: &str, suspected: Suspected) -> Option<f64> {
    let name = name
        .strip_prefix("left-")
        .map_or_else(|| name.to_owned(), |rest| format!("right-{rest}"));
    let place = suspected.mechanism.unwrap_or(Mechanism::AmpullaryArm);
    let is_it = |cell: &&MapCell| {
        cell.manoeuvre == name
            && cell.canal == suspected.canal
            && cell.place == place
            && cell.size_um == SIZE_CLASSES_UM[1]
    };
    let cell = map.cells.iter().find(is_it)?;
    let ears = cell.ends.len();
    (ears > 0).then(|| cell.counts().cleared as f64 / ears as f64)
}
