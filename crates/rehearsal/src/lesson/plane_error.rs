//! How far a head was from a position that the library knows, in the plane of a canal and off it.

use lithodrome_chair::down_in_head;
use lithodrome_labyrinth::{CanalId, Labyrinth, Vec3};

use super::act::Part;
use super::trials::offered;
use crate::error::RehearsalError;
use crate::measures::plane_miss;
use crate::scenario::Purpose;
use crate::units::{chair_angles, deg};

/// Positions farther apart than this are not the same one done badly, degrees (assumed; examiners are
/// 14 to 50° off).
const SAME_POSITION_DEG: f64 = 50.0;

/// How far a head was from a known position.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaneError {
    /// The canal whose plane it is.
    pub canal: CanalId,
    /// Name of the step in the library.
    pub position: String,
    /// Turned too far (+) or too little (−) in the plane of the canal, degrees.
    pub in_plane_deg: f64,
    /// Between gravity and where it should be, across the plane, degrees; positive toward the canal's
    /// axis of excitation.
    pub off_plane_deg: f64,
}

/// The positions of the library's chair sequences, gravity in the head.
pub(super) struct Positions {
    tests: Vec<(String, Vec3)>,
    treatments: Vec<(String, Vec3)>,
}

impl Positions {
    /// Those of all tests, and of the treatments of a canal.
    pub(super) fn of(canal: CanalId) -> Result<Positions, RehearsalError> {
        let all = |kind| -> Result<Vec<(String, Vec3)>, RehearsalError> {
            let mut entries = offered(kind)?;
            if kind == Purpose::Treatment {
                entries.retain(|entry| entry.is_for(canal));
            }
            let positions = entries.iter().flat_map(|entry| {
                let headrest_deg = entry.scenario.chair.headrest_flexion_deg;
                let angles = entry.scenario.angles_deg();
                let steps = entry.scenario.steps.iter().zip(angles);
                steps.map(move |(step, [yaw, track])| {
                    let down = down_in_head(chair_angles(yaw, track, headrest_deg));
                    (step.name.clone(), down)
                })
            });
            Ok(positions.collect())
        };
        Ok(Positions {
            tests: all(Purpose::Test)?,
            treatments: all(Purpose::Treatment)?,
        })
    }

    /// The error of a head against the nearest known position; `None` if none is near.
    pub(super) fn error(
        &self,
        part: Part,
        canal: CanalId,
        labyrinth: &Labyrinth,
        down: Vec3,
    ) -> Option<PlaneError> {
        let known = match part {
            Part::Test | Part::Control => &self.tests,
            Part::Treatment => &self.treatments,
        };
        let (name, wanted) = known
            .iter()
            .max_by(|a, b| a.1.dot(&down).total_cmp(&b.1.dot(&down)))?;
        if deg(wanted.dot(&down).clamp(-1.0, 1.0).acos()) > SAME_POSITION_DEG {
            return None;
        }
        let miss = plane_miss(labyrinth, canal, *wanted, down);
        Some(PlaneError {
            canal,
            position: name.clone(),
            in_plane_deg: miss.in_plane_deg,
            off_plane_deg: miss.off_plane_deg,
        })
    }
}
