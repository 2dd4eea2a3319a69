//! Turning to a step of the plan by one held target: which speed each axis is asked for.

use std::f64::consts::TAU;

use lithodrome_chair::{Ask, ChairAngles, ChairAxis, angle_error};

use crate::work::stage_data::Loaded;

/// How much speed is asked for per angle that is left to turn, 1/s, as a pulled axis is.
const PER_S: f64 = 1.5;
/// An axis that was not planned to turn is turned back at this speed at most, rad/s (30°/s).
const BACK_RAD_S: f64 = 0.524;
/// The fastest moment of a planned move is so many times its mean speed (minimum jerk, 15/8).
const PEAK: f64 = 1.875;

/// What both axes are asked for on the way to a step: as fast as planned and no faster.
pub fn asks_to(plan: &Loaded, step: usize, now: ChairAngles) -> [Ask; 2] {
    let Some(times) = plan.step_times.get(step) else {
        return [Ask::Nothing; 2];
    };
    let (from, there) = (
        plan.angles_at(times.start_s),
        plan.angles_at(times.hold_from_s),
    );
    let move_s = (times.hold_from_s - times.start_s).max(1.0);
    let miss = angle_error(there, now);
    ChairAxis::BOTH.map(|axis| {
        let raw_rad = axis.of(there) - axis.of(now);
        // Turns of more than half a turn go the way that was planned.
        let left_rad = if raw_rad.abs() <= TAU {
            raw_rad
        } else {
            match axis {
                ChairAxis::Yaw => -miss.yaw_rad,
                ChairAxis::Track => -miss.track_rad,
            }
        };
        let planned_rad_s = PEAK * (axis.of(there) - axis.of(from)).abs() / move_s;
        let most_rad_s = planned_rad_s.max(BACK_RAD_S);
        if PER_S * left_rad.abs() <= most_rad_s {
            Ask::Angle(axis.of(now) + left_rad)
        } else {
            Ask::Rate(most_rad_s * left_rad.signum())
        }
    })
}

/// The largest speed that patient and chair of a plan allow, deg/s.
pub fn allowed_deg_s(plan: &Loaded) -> Option<f64> {
    let limits = [plan.scenario.limits, plan.scenario.chair_limits];
    let speeds = limits.iter().flatten().filter_map(|l| l.speed_deg_s);
    speeds.reduce(f64::min)
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::work::{
        ears::Ears,
        load::{Job, load},
        progress::Waker,
        stage_data::Origin,
    };

    fn at(yaw_deg: f64, track_deg: f64) -> ChairAngles {
        ChairAngles {
            yaw_rad: yaw_deg.to_radians(),
            track_rad: track_deg.to_radians(),
            headrest_flexion_rad: 0.0,
        }
    }

    /// The shipped Epley turns to yaw 45° first, then the track to 120°.
    #[test]
    fn it_turns_as_fast_as_planned_and_stops_there() {
        let job = Job {
            origin: Origin::Shipped,
            draft: None,
        };
        let waker: Waker = Arc::new(|| {});
        let plan = load(&job, &Ears::default(), &waker, &|_| true).unwrap();
        let times = plan.step_times[1];
        let peak_rad_s = PEAK * 120f64.to_radians() / (times.hold_from_s - times.start_s);
        let [yaw, track] = asks_to(&plan, 1, at(45.0, 0.0));
        assert_eq!(
            track,
            Ask::Rate(peak_rad_s),
            "far off: the planned move's peak"
        );
        assert!(matches!(yaw, Ask::Angle(rad) if (rad - 45f64.to_radians()).abs() < 1e-6));
        let [_, track] = asks_to(&plan, 1, at(45.0, 119.0));
        assert!(matches!(track, Ask::Angle(rad) if (rad - 120f64.to_radians()).abs() < 1e-6));
        // Not planned to turn in this step, yaw comes back slowly.
        let [yaw, _] = asks_to(&plan, 1, at(-45.0, 0.0));
        assert_eq!(yaw, Ask::Rate(BACK_RAD_S));
        // More than a whole turn off, the shorter way.
        let [yaw, _] = asks_to(&plan, 1, at(45.0 + 720.0, 120.0));
        assert!(matches!(yaw, Ask::Angle(rad) if (rad - 765f64.to_radians()).abs() < 1e-6));
        assert_eq!(asks_to(&plan, 99, at(0.0, 0.0)), [Ask::Nothing; 2]);
    }
}
