//! Which step of the plan the driver is at, and how far off.

use lithodrome_chair::{ChairAngles, angle_error};
use std::f64::consts::PI;

/// A position counts as reached when gravity in the head is within this of the plan's, rad (15°; assumed:
/// by measurement heads are misplaced by 14 to 50°). Yaw is held to the same, which matters where yaw does
/// not turn gravity: upright and upside down.
const REACHED_RAD: f64 = 0.262;

/// The step aimed at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Target {
    /// Index of the step.
    pub step: usize,
    /// The chair stood there.
    pub reached: bool,
}

impl Target {
    /// Looks at the chair: at rest near its place a step is reached, moved away from it is the next one's
    /// turn. `plan` holds the angles at the end of each move.
    pub fn look(&mut self, plan: &[ChairAngles], now: ChairAngles, at_rest: bool) {
        let Some(&there) = plan.get(self.step) else {
            return;
        };
        if at_rest {
            self.reached |= is_near(there, now);
        } else if self.reached && self.step + 1 < plan.len() {
            *self = Target {
                step: self.step + 1,
                reached: false,
            };
        }
    }
}

/// How far the chair is from what counts as a step's place, rad; `None` if it is there.
pub fn beyond_rad(there: ChairAngles, now: ChairAngles) -> Option<f64> {
    let miss = angle_error(there, now);
    let yaw_rad = miss.yaw_rad.abs();
    let beyond_rad = miss.gravity_rad.max(yaw_rad.min(PI - yaw_rad)) - REACHED_RAD;
    (beyond_rad > 0.0).then_some(beyond_rad)
}

/// The chair is near enough to where a step holds it; the twin position (yaw + 180°, track negated) holds
/// the head as well.
pub fn is_near(there: ChairAngles, now: ChairAngles) -> bool {
    beyond_rad(there, now).is_none()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(yaw_deg: f64, track_deg: f64) -> ChairAngles {
        ChairAngles {
            yaw_rad: yaw_deg.to_radians(),
            track_rad: track_deg.to_radians(),
            headrest_flexion_rad: 0.0,
        }
    }

    #[test]
    fn a_step_is_reached_at_rest_and_left_by_moving() {
        let plan = [at(45.0, 0.0), at(45.0, 120.0)];
        let mut target = Target::default();
        target.look(&plan, at(0.0, 0.0), true);
        assert!(!target.reached, "upright, but yaw is 45° off");
        target.look(&plan, at(44.0, 0.0), false);
        assert!(!target.reached, "not while it moves");
        target.look(&plan, at(44.0, 0.0), true);
        assert!(target.reached);
        target.look(&plan, at(44.0, 2.0), false);
        assert_eq!((target.step, target.reached), (1, false));
        target.look(&plan, at(44.0, 90.0), true);
        assert!(!target.reached, "30° off");
        target.look(&plan, at(44.0, 118.0), true);
        assert!(target.reached);
        target.look(&plan, at(44.0, 90.0), false);
        assert_eq!(target.step, 1, "there is no other");
    }

    #[test]
    fn what_is_beyond_the_place_is_told() {
        // Lying, yaw turns gravity by as much: 40° off are 25° beyond the 15° that count as there.
        let beyond = beyond_rad(at(45.0, 90.0), at(85.0, 90.0)).unwrap();
        assert!((beyond.to_degrees() - 25.0).abs() < 0.1, "{beyond}");
        assert_eq!(beyond_rad(at(45.0, 90.0), at(55.0, 90.0)), None);
    }

    #[test]
    fn the_twin_position_counts() {
        let mut target = Target::default();
        target.look(&[at(45.0, 120.0)], at(225.0, -120.0), true);
        assert!(target.reached);
    }
}
