//! The matrix as shares over many ears, read from the shipped map.

use lithodrome_labyrinth::{CanalId, Ear};
use lithodrome_rehearsal::FORMAT;
use lithodrome_study::{MapCell, OutcomeMap, RunEnd, Share, other_side, shipped_map};
use serde::Serialize;

use super::{Args, manoeuvres};
use crate::outcome_map::text;
use crate::output::{Failures, print, print_json};

#[derive(Serialize)]
struct Document {
    format: u32,
    version: String,
    mixture: String,
    seed: u32,
    ears: u32,
    size_um: [f64; 2],
    cells: Vec<CellReport>,
}

#[derive(Serialize)]
struct CellReport {
    manoeuvre: String,
    ear: &'static str,
    canal: &'static str,
    mechanism: &'static str,
    cleared: ShareReport,
    behind_cupula: ShareReport,
    switched: ShareReport,
}

#[derive(Serialize)]
struct ShareReport {
    share: f64,
    low: f64,
    high: f64,
}

/// Shows the cells that are wanted, of the class that the diameter belongs to.
pub(super) fn run(args: &Args) -> Result<(), Failures> {
    let mut map = shipped_map().map_err(|e| Failures::one(&e))?;
    let named = manoeuvres(args)?;
    let ears: Vec<Ear> = Ear::ALL
        .into_iter()
        .filter(|&ear| map.cells.iter().any(|cell| args.wants(id(ear, cell))))
        .collect();
    let of_size = |cell: &MapCell| (cell.size_um.0..cell.size_um.1).contains(&args.diameter_um);
    if !map.cells.iter().any(of_size) {
        let found = args.diameter_um;
        let words = format!("--diameter-um: found {found}, the map has debris of 20 to 110 µm");
        return Err(Failures::one(&words));
    }
    // What is done to the wrong side is told by `outcome-map`.
    let is_for = |name: &str, ear: Ear| {
        let mut entries = named.iter().filter(|entry| entry.name == name);
        entries.any(|entry| entry.about.targets.iter().any(|t| t.ear == ear))
    };
    let on_an_ear =
        |cell: &MapCell, ear: Ear| is_for(&name(ear, cell), ear) && args.wants(id(ear, cell));
    map.cells
        .retain(|cell| of_size(cell) && ears.iter().any(|&ear| on_an_ear(cell, ear)));
    if args.json {
        return print_json(&document(&map, &ears, &on_an_ear));
    }
    let mut parts = Vec::new();
    for ear in ears {
        let mut mine = map.clone();
        mine.cells.retain(|cell| on_an_ear(cell, ear));
        if !mine.cells.is_empty() {
            parts.push(text(&mine, ear));
        }
    }
    print(&parts.join("\n"))
}

fn id(ear: Ear, cell: &MapCell) -> CanalId {
    CanalId {
        ear,
        canal: cell.canal,
    }
}

/// The map is of the right ear.
fn name(ear: Ear, cell: &MapCell) -> String {
    match ear {
        Ear::Right => cell.manoeuvre.clone(),
        Ear::Left => other_side(&cell.manoeuvre),
    }
}

fn document(map: &OutcomeMap, ears: &[Ear], on_an_ear: &dyn Fn(&MapCell, Ear) -> bool) -> Document {
    let from = &map.provenance;
    let reports = ears.iter().flat_map(|&ear| {
        let mine = map.cells.iter().filter(move |cell| on_an_ear(cell, ear));
        mine.map(move |cell| CellReport {
            manoeuvre: name(ear, cell),
            ear: ear.name(),
            canal: cell.canal.name(),
            mechanism: cell.place.name(),
            cleared: share(cell.share(RunEnd::Cleared)),
            behind_cupula: share(cell.share(RunEnd::BehindCupula)),
            switched: share(cell.share(RunEnd::Switched)),
        })
    });
    Document {
        format: FORMAT,
        version: from.version.clone(),
        mixture: from.mixture.clone(),
        seed: from.seed,
        ears: from.ears,
        size_um: map
            .cells
            .first()
            .map_or([0.0, 0.0], |cell| [cell.size_um.0, cell.size_um.1]),
        cells: reports.collect(),
    }
}

fn share(of: Share) -> ShareReport {
    ShareReport {
        share: of.share,
        low: of.low,
        high: of.high,
    }
}
