//! One or two parameters of a sequence varied over a grid.

mod contour;
mod grid;
mod vary;

pub use contour::{Segment, contour};
pub use grid::{SweepAxis, SweepReport};
pub(crate) use grid::{check_axes, points, sweep_report};
pub use vary::Vary;
