//! Anatomy files: the numbers a labyrinth is built from, each with its source.
//!
//! A file describes the left ear in Reid axes; the right one is its mirror image.

use std::f64::consts::PI;

use nalgebra::Rotation3;
use serde::{Deserialize, Serialize};

use crate::anatomy::shipped;
use crate::text::parser_words;
use crate::{AnatomyError, Canal, Sourced, Vec3};

/// Version of the format that this code reads.
pub(crate) const FORMAT: u32 = 1;

/// One canal of the left ear.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CanalAnatomy {
    /// Axis of a right-handed head rotation that excites it, Reid axes; need not be of unit length.
    pub n_exc: Sourced<[f64; 3]>,
    /// Radius of the duct's centre-line.
    pub arc_radius_mm: Sourced<f64>,
    /// Radius of the slender duct's lumen.
    pub duct_radius_mm: Sourced<f64>,
    /// Radius of the non-ampullary arm's lumen, from the duct's middle on; the duct's if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub far_arm_radius_mm: Option<Sourced<f64>>,
    /// Lumen radius at the cupula.
    pub ampulla_radius_mm: Sourced<f64>,
    /// Length over which the ampulla narrows to the duct, from the cupula.
    pub ampulla_length_mm: Sourced<f64>,
    /// Place of the cupula on its arc, see `construct`.
    pub cupula_angle_deg: Sourced<f64>,
    /// Where on the arc the duct runs square to the crista: how the crista stands, apart from where it
    /// is. At the cupula's place if left out, so that it stands square across the duct.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crista_angle_deg: Option<Sourced<f64>>,
    /// Direction of gravity, Reid axes, in which a load on the cupula bends it ampullofugally most.
    pub cupula_load_axis: Sourced<[f64; 3]>,
}

/// The segment shared by the anterior and the posterior canal.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CrusAnatomy {
    /// Length from the lateral canal plane to the top of the crus, along it.
    pub top_mm: Sourced<f64>,
    /// How far below the top the posterior duct's centre-line has joined.
    pub merge_mm: Sourced<f64>,
    /// Lumen radius.
    pub radius_mm: Sourced<f64>,
    /// Tilt of the crus backward out of the line common to both vertical planes, about the place where
    /// it crosses the lateral plane; none if left out. The arcs stay in their planes and go with its top.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tilt_back_deg: Option<Sourced<f64>>,
    /// The same toward the side of the head.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tilt_out_deg: Option<Sourced<f64>>,
    /// Angle on the posterior arc from which the duct bends into the crus.
    pub bend_from_deg: Sourced<f64>,
}

/// The utricle, an ellipsoid, placed in the frame of the lateral canal plane.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UtricleAnatomy {
    /// Centre, mm along e1 (forward in the lateral plane), e2 (left in it) and its normal, from the
    /// point where the crus crosses the lateral plane.
    pub centre_mm: Sourced<[f64; 3]>,
    /// Turn of the long axis from e1 toward e2.
    pub azimuth_deg: Sourced<f64>,
    /// Half axes: long, wide, high.
    pub semi_axes_mm: Sourced<[f64; 3]>,
}

/// The surface of the walls.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WallAnatomy {
    /// Resistance to rolling of debris, over the force that presses it on the wall.
    pub rolling_resistance: Sourced<f64>,
    /// Gap under a rolling body, over its radius: how rough debris and wall are.
    pub rolling_gap: Sourced<f64>,
}

/// Numbers of one labyrinth.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Anatomy {
    /// Version of the format.
    pub format: u32,
    /// What people call it.
    pub name: String,
    /// What it stands for.
    pub notes: String,
    /// Anterior canal.
    pub anterior: CanalAnatomy,
    /// Lateral canal.
    pub lateral: CanalAnatomy,
    /// Posterior canal.
    pub posterior: CanalAnatomy,
    /// Centre of the lateral arc, mm along e1 and e2 as for the utricle.
    pub lateral_centre_mm: Sourced<[f64; 2]>,
    /// Lumen radius of the lateral duct's far opening.
    pub lateral_opening_radius_mm: Sourced<f64>,
    /// Length over which that opening flares.
    pub lateral_opening_length_mm: Sourced<f64>,
    /// Common crus.
    pub crus: CrusAnatomy,
    /// Utricle.
    pub utricle: UtricleAnatomy,
    /// Lumen radius of an ampulla where it opens into the utricle.
    pub port_radius_mm: Sourced<f64>,
    /// Thickness of every cupula.
    pub cupula_thickness_mm: Sourced<f64>,
    /// Centre of the left utricle, Reid axes.
    pub utricle_in_reid_mm: Sourced<[f64; 3]>,
    /// How debris rolls here where a case does not say; as usual for debris if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wall: Option<WallAnatomy>,
    /// Pitch of Reid's plane, nose up, when the patient sits upright in the headrest.
    pub reid_pitch_nose_up_deg: Sourced<f64>,
    /// Shift of the ducts' centre-lines away from the arcs' centres, toward the outer wall.
    pub outer_wall_offset_mm: Sourced<f64>,
    /// Turn of the whole labyrinth about the utricle's centre, a rotation vector of the left ear in
    /// Reid axes, after all else is built; none if left out. `n_exc` are those before it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turn_deg: Option<Sourced<[f64; 3]>>,
}

impl Anatomy {
    /// Reads and checks the text of an anatomy file.
    pub fn from_ron(text: &str) -> Result<Anatomy, AnatomyError> {
        let anatomy: Anatomy = ron::Options::default()
            .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
            .from_str(text)
            .map_err(|e| AnatomyError::Syntax {
                line: e.span.start.line,
                column: e.span.start.col,
                reason: parser_words(&e.code),
            })?;
        anatomy.check()?;
        Ok(anatomy)
    }

    /// Names of the shipped anatomies.
    pub fn names() -> impl Iterator<Item = &'static str> {
        shipped::FILES.iter().map(|(name, _)| *name)
    }

    /// A shipped anatomy; `None` if there is none of that name.
    pub fn named(name: &str) -> Option<Result<Anatomy, AnatomyError>> {
        shipped::FILES
            .iter()
            .find(|(n, _)| *n == name)
            .map(|(_, text)| Anatomy::from_ron(text))
    }

    /// The turn of the whole labyrinth, from the axes it is built in to Reid axes.
    pub fn turn(&self) -> Rotation3<f64> {
        let turn_deg = self.turn_deg.as_ref().map_or([0.0; 3], |turn| turn.value);
        Rotation3::from_scaled_axis(Vec3::from(turn_deg) * (PI / 180.0))
    }

    /// The axis of a head rotation that excites a canal of the left ear, unit, Reid axes, turn included.
    pub fn n_exc_in_reid(&self, canal: Canal) -> Vec3 {
        self.turn() * Vec3::from(self.canal(canal).n_exc.value).normalize()
    }

    /// Where on its arc a canal's crista stands square to the duct, degrees.
    pub fn crista_angle_deg(&self, canal: Canal) -> f64 {
        let c = self.canal(canal);
        let own = c.crista_angle_deg.as_ref();
        own.unwrap_or(&c.cupula_angle_deg).value
    }

    /// Tilt of the crus backward and outward, degrees.
    pub fn crus_tilt_deg(&self) -> [f64; 2] {
        [&self.crus.tilt_back_deg, &self.crus.tilt_out_deg]
            .map(|tilt| tilt.as_ref().map_or(0.0, |t| t.value))
    }

    /// The numbers of one canal.
    pub fn canal(&self, canal: Canal) -> &CanalAnatomy {
        match canal {
            Canal::Anterior => &self.anterior,
            Canal::Lateral => &self.lateral,
            Canal::Posterior => &self.posterior,
        }
    }

    pub(crate) fn canal_mut(&mut self, canal: Canal) -> &mut CanalAnatomy {
        match canal {
            Canal::Anterior => &mut self.anterior,
            Canal::Lateral => &mut self.lateral,
            Canal::Posterior => &mut self.posterior,
        }
    }
}
