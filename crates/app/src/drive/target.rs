//! Which step of the plan the driver is at, and how far off.

use lithodrome_chair::{ChairAngles, down_in_head};
use lithodrome_rehearsal::Scenario;

/// A position counts as reached when gravity in the head is within this of the plan's, rad (15°; assumed:
/// by measurement heads are misplaced by 14 to 50°).
const REACHED_RAD: f64 = 0.262;

/// The step aimed at.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Target {
    /// Index of the step.
    pub step: usize,
    /// The chair stood there.
    pub reached: bool,
}

/// How far the chair is from a step of the plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Miss {
    /// Yaw that is left to turn, rad.
    pub yaw_rad: f64,
    /// Track that is left to turn, rad.
    pub track_rad: f64,
    /// Angle between gravity in the head and the plan's, rad.
    pub gravity_rad: f64,
}

impl Target {
    /// Looks at the chair: at rest near its place a step is reached, moved away from it is the next one's
    /// turn.
    pub fn look(&mut self, plan: &Scenario, now: ChairAngles, at_rest: bool) {
        let Some(miss) = miss(plan, self.step, now) else {
            return;
        };
        if at_rest {
            self.reached |= miss.gravity_rad <= REACHED_RAD;
        } else if self.reached && self.step + 1 < plan.steps.len() {
            *self = Target {
                step: self.step + 1,
                reached: false,
            };
        }
    }
}

/// How far the chair is from the end of a step of the plan; `None` if there is no such step.
pub fn miss(plan: &Scenario, step: usize, now: ChairAngles) -> Option<Miss> {
    let &[yaw_deg, track_deg] = plan.angles_deg().get(step)?;
    let there = ChairAngles {
        yaw_rad: yaw_deg.to_radians(),
        track_rad: track_deg.to_radians(),
        ..now
    };
    let (a, b) = (down_in_head(now), down_in_head(there));
    Some(Miss {
        yaw_rad: there.yaw_rad - now.yaw_rad,
        track_rad: there.track_rad - now.track_rad,
        gravity_rad: a.cross(&b).norm().atan2(a.dot(&b)),
    })
}

#[cfg(test)]
mod tests {
    use lithodrome_rehearsal::scenario_from_ron;

    use super::*;

    fn plan() -> Scenario {
        let text = r#"( format: 1, title: "t", steps: [
            ( name: "a", yaw_deg: 45.0, move_s: 1.0, hold_s: 1.0 ),
            ( name: "b", track_deg: 120.0, move_s: 1.0, hold_s: 1.0 ) ] )"#;
        scenario_from_ron(text, std::path::Path::new("t.ron")).unwrap()
    }

    fn at(yaw_deg: f64, track_deg: f64) -> ChairAngles {
        ChairAngles {
            yaw_rad: yaw_deg.to_radians(),
            track_rad: track_deg.to_radians(),
            headrest_flexion_rad: 0.0,
        }
    }

    #[test]
    fn the_miss_is_in_both_axes_and_in_gravity() {
        let miss = miss(&plan(), 1, at(40.0, 100.0)).unwrap();
        assert!((miss.yaw_rad.to_degrees() - 5.0).abs() < 1e-9);
        assert!((miss.track_rad.to_degrees() - 20.0).abs() < 1e-9);
        // Down is (−sin θ sin ψ, −sin θ cos ψ, −cos θ); the cosine of the angle between both is
        // sin 100 sin 120 cos 5 + cos 100 cos 120 = 0.93645, 20.54°.
        assert!((miss.gravity_rad.to_degrees() - 20.54).abs() < 0.02);
    }

    #[test]
    fn a_step_is_reached_at_rest_and_left_by_moving() {
        let (plan, mut target) = (plan(), Target::default());
        // Upright, yaw does not matter to gravity.
        target.look(&plan, at(0.0, 0.0), false);
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
}
