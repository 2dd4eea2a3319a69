//! Anatomy files: numbers with their sources, their ranges, and the shipped ones.

mod check;
mod file;
mod shipped;
mod sourced;
mod spread;

pub use file::{Anatomy, CanalAnatomy, CrusAnatomy, UtricleAnatomy, WallAnatomy};
pub use sourced::{How, Sourced};
