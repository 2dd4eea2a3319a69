//! Builds ears: from an anatomy, from a clinic's centre-lines, and rings for tests.

mod centre_line;
mod centre_line_ear;
mod centre_line_table;
mod clearance;
pub(crate) mod construct;
mod from_anatomy;
mod join;
mod path;
mod ring;
mod spline;

pub use ring::Ring;
