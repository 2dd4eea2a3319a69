//! Ears that differ as people do: a seed, or a place in the unit cube, gives one ear about an anatomy's
//! numbers.

mod apply;
mod draw;
mod planes;
mod redrawn;
mod settle;
mod spread;

pub use draw::{DIMENSIONS, Draw};
pub use planes::{PLANE_STUDIES, PlaneStudy};
pub use spread::Variation;
