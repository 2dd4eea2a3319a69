//! How far a head was from a position that the library knows, in the plane of a canal and off it.

use lithodrome_chair::down_in_head;
use lithodrome_labyrinth::{CanalId, Labyrinth, Vec3, frame};

use super::act::Part;
use super::trials::offered;
use crate::error::RehearsalError;
use crate::scenario::Purpose;
use crate::units::{chair_angles, deg};

/// Positions farther apart than this are not the same one done badly, degrees (assumed; examiners are
/// 14 to 50° off).
const SAME_POSITION_DEG: f64 = 50.0;

/// How far a head was from a known position.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaneError {
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
        let head_from_reid = frame::head_from_reid(labyrinth.reid_pitch_nose_up_rad);
        let n_exc = head_from_reid * labyrinth.canal(canal).n_exc_in_reid;
        let (in_plane_deg, off_plane_deg) = plane_error_deg(n_exc, *wanted, down);
        Some(PlaneError {
            position: name.clone(),
            in_plane_deg,
            off_plane_deg,
        })
    }
}

/// The way from one direction of gravity to another: turned about the axis, and out of its plane, degrees.
fn plane_error_deg(axis: Vec3, wanted: Vec3, reached: Vec3) -> (f64, f64) {
    let flat = |v: Vec3| v - axis * v.dot(&axis);
    let (a, b) = (flat(wanted), flat(reached));
    let in_plane = a.cross(&b).dot(&axis).atan2(a.dot(&b));
    let out = |v: Vec3| v.dot(&axis).clamp(-1.0, 1.0).asin();
    // Gravity turns in the head against the way that the head turns.
    (-deg(in_plane), deg(out(reached) - out(wanted)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_turn_in_the_plane_and_a_tilt_out_of_it_are_told_apart() {
        // Hand calculation: gravity along x turned by 20° about z, then lifted out of the plane by 10°.
        let (s, c) = 20.0_f64.to_radians().sin_cos();
        let (up, flat) = 10.0_f64.to_radians().sin_cos();
        let reached = Vec3::new(c * flat, s * flat, up);
        let (inside, off) = plane_error_deg(Vec3::z(), Vec3::x(), reached);
        assert!((inside + 20.0).abs() < 1e-9 && (off - 10.0).abs() < 1e-9);
    }
}
