//! Both ears from an anatomy.

use crate::build::construct;
use crate::lumen::CanalAxes;
use crate::{Anatomy, AnatomyError, Canal, EarShape, Labyrinth, Vec3, WallSurface};

impl Labyrinth {
    /// Builds the left ear and mirrors it.
    pub fn build(anatomy: &Anatomy) -> Result<Labyrinth, AnatomyError> {
        let left = EarShape::left(anatomy)?;
        Ok(Labyrinth {
            name: anatomy.name.clone(),
            reid_pitch_nose_up_rad: anatomy.reid_pitch_nose_up_deg.value.to_radians(),
            wall_surface: anatomy.wall.as_ref().map(|wall| WallSurface {
                rolling_resistance: wall.rolling_resistance.value,
                rolling_gap: wall.rolling_gap.value,
            }),
            ears: [left.mirrored(), left],
        })
    }
}

impl EarShape {
    /// Builds the left ear.
    pub(crate) fn left(anatomy: &Anatomy) -> Result<EarShape, AnatomyError> {
        let ducts = construct::left_ear(anatomy)?;
        let cristae = construct::crista_normals(anatomy);
        let axes = Canal::ALL.map(|canal| CanalAxes {
            crista_normal: anatomy
                .canal(canal)
                .crista_angle_deg
                .as_ref()
                .map(|_| cristae[canal.index()]),
            n_exc: anatomy.n_exc_in_reid(canal),
            load_axis: anatomy.turn()
                * Vec3::from(anatomy.canal(canal).cupula_load_axis.value).normalize(),
        });
        let merge_mm = anatomy.crus.merge_mm.value;
        EarShape::joined(ducts, axes, merge_mm, anatomy.cupula_thickness_mm.value)
    }
}
