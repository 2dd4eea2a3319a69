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

/// Where a place of a tube is so near to the common crus or to the utricle that its wall may open there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Opens {
    pub(crate) crus: bool,
    pub(crate) utricle: bool,
}

impl Opens {
    /// Whether two tubes open into each other at such places.
    pub(crate) fn meets(self, other: Opens) -> bool {
        (self.crus && other.crus) || (self.utricle && other.utricle)
    }

    pub(crate) fn nowhere(self) -> bool {
        !self.crus && !self.utricle
    }
}
