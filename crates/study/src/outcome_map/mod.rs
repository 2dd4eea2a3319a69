//! The outcome map: every treatment against every case, as shares over ears; shipped as a data file.

mod file;
mod map;
mod map_ear;
mod ranking;
mod shares;
mod treatment;

pub use file::{map_from_csv, shipped_map, write_map};
pub use map::{
    CellEnds, MapCell, OutcomeMap, Provenance, SIZE_CLASSES_UM, cell_ends, outcome_map, treatments,
};
pub use map_ear::{
    Carried, DoneBy, HoldShare, MapEar, carried, holds_on_cupula, map_ear, shares_by_hold,
};
pub use ranking::{MapQuestion, Ranked, other_side, ranked};
pub use shares::{ClearedRow, cleared_rows};
pub use treatment::Treatment;
