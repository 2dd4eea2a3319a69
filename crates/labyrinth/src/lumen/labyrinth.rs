//! Both ears of one head.

use crate::{CanalId, CanalShape, Ear, EarShape};

/// Both ears, constant.
#[derive(Clone, Debug)]
pub struct Labyrinth {
    /// Name of the anatomy.
    pub name: String,
    /// Pitch of Reid's plane, nose up, with the patient upright in the headrest, rad.
    pub reid_pitch_nose_up_rad: f64,
    /// The ears, `[ear]`.
    pub ears: [EarShape; 2],
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
