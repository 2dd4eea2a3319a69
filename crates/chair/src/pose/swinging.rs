//! What swings about a move at one time.

use lithodrome_labyrinth::Vec3;

use crate::pose::Jet;

/// What is added to a move at one time.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub(crate) struct Swinging {
    pub(crate) yaw: Jet,
    pub(crate) nod: Jet,
    pub(crate) track: Jet,
    /// Unit vector in head axes, and the way along it, mm.
    pub(crate) shift: Option<(Vec3, Jet)>,
}
