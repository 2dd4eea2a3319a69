//! Postures by the words of the ward, and the angles of the chair that bring a patient there.

use lithodrome_chair::nearest_equivalent;
use lithodrome_labyrinth::Vec3;

use crate::scenario::{Carrier, Scenario, chair_angles_deg};
use crate::units::{chair_angles, deg, tidy};

/// A posture and the direction of gravity in the head in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NamedPosture {
    /// In words.
    pub name: &'static str,
    /// Gravity in head axes.
    pub down_in_head: [f64; 3],
}

const fn posture(name: &'static str, down_in_head: [f64; 3]) -> NamedPosture {
    NamedPosture { name, down_in_head }
}

/// sin 30°, cos 30°, sin 45°, and cos 30° · sin 45°.
const HALF: f64 = 0.5;
const COS_30: f64 = 0.866_025_403_784_438_6;
const SIN_45: f64 = std::f64::consts::FRAC_1_SQRT_2;
const TURNED: f64 = 0.612_372_435_695_794_5;

/// From upright over lying back and to the sides to the face and upside down.
pub const NAMED_POSTURES: [NamedPosture; 12] = [
    posture("Upright", [0.0, 0.0, -1.0]),
    posture("Supine, head 30° up", [-COS_30, 0.0, -HALF]),
    posture("Supine, level", [-1.0, 0.0, 0.0]),
    posture("Head hanging straight", [-COS_30, 0.0, HALF]),
    posture("Head hanging, turned right", [-TURNED, -TURNED, HALF]),
    posture("Head hanging, turned left", [-TURNED, TURNED, HALF]),
    posture("Right ear down", [0.0, -1.0, 0.0]),
    posture("Left ear down", [0.0, 1.0, 0.0]),
    posture("On the right side, nose down", [SIN_45, -SIN_45, 0.0]),
    posture("On the left side, nose down", [SIN_45, SIN_45, 0.0]),
    posture("Face down", [1.0, 0.0, 0.0]),
    posture("Upside down", [0.0, 0.0, 1.0]),
];

impl NamedPosture {
    /// Yaw and track, degrees, that a step ends at in this posture, by the shortest drive from the end of the step
    /// before; `None` where no chair with these axes turns the patient.
    pub fn angles_deg(&self, scenario: &Scenario, step: usize) -> Option<[f64; 2]> {
        if scenario.body.unwrap_or_default() != Carrier::Chair {
            return None;
        }
        let before = chair_angles_deg(scenario);
        let [yaw, track, _] = *before.get(step)?;
        // The headrest moves with the step.
        let [_, _, headrest] = *before.get(step + 1)?;
        let from = chair_angles(yaw, track, headrest);
        let to = nearest_equivalent(from, Vec3::from(self.down_in_head));
        Some([tidy(deg(to.yaw_rad)), tidy(deg(to.track_rad))])
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::scenario::scenario_from_ron;

    #[test]
    fn a_posture_sets_the_angles_by_the_shortest_drive() {
        let text = "(format: 1, title: \"T\", steps: [(name: \"Turn\", yaw_deg: 45.0, move_s: 2.0, hold_s: 1.0), \
                    (name: \"On\", move_s: 2.0, hold_s: 1.0)])";
        let scenario = scenario_from_ron(text, Path::new("t.ron")).unwrap();
        let named = |name: &str| NAMED_POSTURES.iter().find(|p| p.name == name).unwrap();
        let angles = |name: &str| named(name).angles_deg(&scenario, 1).unwrap();
        let near = |[a, b]: [f64; 2], [c, d]: [f64; 2]| (a - c).abs() + (b - d).abs() < 1e-6;
        // By hand: a right Dix-Hallpike is yaw 45, track 120; the patient sits turned by 45 already.
        assert!(near(angles("Head hanging, turned right"), [45.0, 120.0]));
        // The other way round the track: yaw 45 - 90 = -45, track -120, or 135 and 120, which is as far.
        let [yaw, track] = angles("Head hanging, turned left");
        assert!(near([yaw, track], [-45.0, -120.0]) || near([yaw, track], [135.0, 120.0]));
        // Upright leaves the yaw where it is.
        assert!(near(angles("Upright"), [45.0, 0.0]));
        for posture in NAMED_POSTURES {
            let length = Vec3::from(posture.down_in_head).norm();
            assert!((length - 1.0).abs() < 1e-12, "{}", posture.name);
        }
    }
}
