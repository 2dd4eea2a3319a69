//! Both ears of one head.

use crate::{CanalId, CanalShape, Ear, EarShape};

/// Both ears, constant.
#[derive(Clone, Debug)]
pub struct Labyrinth {
    /// Name of the anatomy.
    pub name: String,
    /// Pitch of Reid's plane, nose up, with the patient upright in the headrest, rad.
    pub reid_pitch_nose_up_rad: f64,
    /// How debris rolls on its walls, where the anatomy says so.
    pub wall_surface: Option<WallSurface>,
    /// The ears, `[ear]`.
    pub ears: [EarShape; 2],
}

/// How debris rolls on a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WallSurface {
    /// Resistance to rolling, over the force that presses a body on the wall.
    pub rolling_resistance: f64,
    /// Gap under a rolling body, over its radius.
    pub rolling_gap: f64,
}

impl Labyrinth {
    /// One ear.
    pub fn ear(&self, ear: Ear) -> &EarShape {
        &self.ears[ear.index()]
    }

    /// One canal.
    pub fn canal(&self, id: CanalId) -> &CanalShape {
        self.ear(id.ear).canal(id.canal)
    }
}
