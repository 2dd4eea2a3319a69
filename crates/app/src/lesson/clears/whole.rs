//! The whole map for one ear and one size of debris: manoeuvres by canals by places.

use lithodrome_labyrinth::{Canal, CanalId, Ear};
use lithodrome_rehearsal::Mechanism;
use lithodrome_study::{MapCell, MapQuestion, RunEnd};

use super::known::Known;
use crate::kit::controls::capital;

/// One cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CellShare {
    /// Share of ears in which the debris is out of where it began.
    pub out: f32,
    /// Share of ears in which it switched.
    pub switched: f32,
    /// The manoeuvre is meant for it.
    pub is_meant: bool,
}

/// One manoeuvre.
#[derive(Clone, Debug, PartialEq)]
pub struct MapRow {
    /// Its name in the library.
    pub name: String,
    /// What people call it, without its canal.
    pub short: String,
    /// The canal that it is meant for.
    pub canal: Canal,
    /// Its cells, `[canal][place]`; `None` where the map has none.
    pub cells: [[Option<CellShare>; 5]; 3],
}

/// Its rows, by the canal that they are meant for, in the order of the library.
pub(super) fn whole_map(known: &Known, asked: &MapQuestion, other_side: bool) -> Vec<MapRow> {
    let ear = if other_side {
        asked.canal.ear.other()
    } else {
        asked.canal.ear
    };
    let mut rows: Vec<MapRow> = known
        .treatments
        .iter()
        .filter(|t| t.entry.name.starts_with(ear.name()))
        .map(|t| {
            let title = &t.entry.scenario.title;
            let short = title.split_once(", ").map_or(title.as_str(), |(_, s)| s);
            let targets = &t.entry.about.targets;
            MapRow {
                name: t.entry.name.to_owned(),
                short: capital(short),
                canal: targets.first().map_or(Canal::Posterior, |t| t.canal),
                cells: [[None; 5]; 3],
            }
        })
        .collect();
    for cell in &known.map.cells {
        let (from_um, _) = asked.size_um();
        let name = asked.name_for_ear(&cell.manoeuvre);
        let row = rows.iter_mut().find(|row| row.name == name);
        if let Some(row) = row.filter(|_| (cell.size_um.0 - from_um).abs() < 1e-9) {
            let place = place_index(cell.place);
            row.cells[cell.canal.index()][place] = Some(share(known, asked.canal.ear, &name, cell));
        }
    }
    rows.retain(|row| row.cells.iter().flatten().any(Option::is_some));
    rows.sort_by_key(|row| row.canal.index());
    rows
}

fn share(known: &Known, ear: Ear, name: &str, cell: &MapCell) -> CellShare {
    let id = CanalId {
        ear,
        canal: cell.canal,
    };
    let question = MapQuestion {
        canal: id,
        place: cell.place,
        ..MapQuestion::default()
    };
    let of = cell.ends.len().max(1) as f32;
    let count = |test: &dyn Fn(RunEnd) -> bool| {
        let ends = cell.ends.iter().filter(|end| end.is_some_and(test));
        ends.count() as f32 / of
    };
    let entry = known.treatment(name).map(|t| &t.entry);
    CellShare {
        out: count(&|end| question.is_out(end)),
        switched: count(&|end| end == RunEnd::Switched),
        is_meant: entry.is_some_and(|e| e.is_for(id) && e.about.mechanisms.contains(&cell.place)),
    }
}

/// Place in the order of [`Mechanism::ALL`].
fn place_index(place: Mechanism) -> usize {
    let found = Mechanism::ALL.iter().position(|m| *m == place);
    found.unwrap_or(0)
}
