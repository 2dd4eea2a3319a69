//! Both ears of one head.

use crate::{Anatomy, AnatomyError, CanalId, CanalShape, Ear, EarShape};

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
    /// Builds the left ear and mirrors it.
    pub fn build(anatomy: &Anatomy) -> Result<Labyrinth, AnatomyError> {
        let left = EarShape::left(anatomy)?;
        Ok(Labyrinth {
            name: anatomy.name.clone(),
            reid_pitch_nose_up_rad: anatomy.reid_pitch_nose_up_deg.value.to_radians(),
            ears: [left.mirrored(), left],
        })
    }

    /// One ear.
    pub fn ear(&self, ear: Ear) -> &EarShape {
        &self.ears[ear.index()]
    }

    /// One canal.
    pub fn canal(&self, id: CanalId) -> &CanalShape {
        self.ear(id.ear).canal(id.canal)
    }
}
