//! Which parts of a lumen open into each other, as the wall looks them up.

use crate::frame::Vec3;

/// Which other parts an interval of a tube must look at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Link {
    /// Arc length at which to start looking on each tube; not a number where it is no neighbour.
    pub(crate) guess: [f64; 3],
    pub(crate) utricle: bool,
    /// Nothing else is within reach.
    pub(crate) alone: bool,
}

/// An opening into the utricle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Mouth {
    pub(crate) tube: usize,
    pub(crate) arc: f64,
    pub(crate) centre: Vec3,
    pub(crate) reach: f64,
}
