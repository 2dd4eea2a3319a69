//! What a patient allows, held against the chair's motion.

use lithodrome_chair::HeadMotion;

use crate::Limits;
use crate::units::deg;

/// Samples of every move. Even, so that the fastest moment in the middle is one of them.
const SAMPLES: usize = 200;

/// Gravity this far along the head's long axis counts as below the horizontal: half a minute of arc,
/// above the rounding of angles.
const BELOW: f64 = 1.5e-4;

/// Slack of every comparison, as a share: a move at exactly the limit is within it.
const SLACK: f64 = 1e-6;

/// What can be limited.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Limit {
    /// Angle of the head below the horizontal, degrees.
    HeadDown,
    /// Time in one go with the head below the horizontal, s.
    Inverted,
    /// Angular speed, deg/s.
    Speed,
    /// Angular acceleration, deg/s².
    Acceleration,
}

impl Limit {
    /// Path of its field in a scenario.
    pub const fn field(self) -> &'static str {
        match self {
            Limit::HeadDown => "limits.head_down_deg",
            Limit::Inverted => "limits.inverted_s",
            Limit::Speed => "limits.speed_deg_s",
            Limit::Acceleration => "limits.acceleration_deg_s2",
        }
    }
}

/// One limit that a motion breaks, at its worst.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitBreach {
    /// Which.
    pub limit: Limit,
    /// Step, counted from 0.
    pub step: usize,
    /// Name of the step.
    pub step_name: String,
    /// When, s.
    pub time_s: f64,
    /// The value, in the unit of the limit.
    pub found: f64,
    /// The limit.
    pub allowed: f64,
}

impl std::fmt::Display for LimitBreach {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (what, unit) = match self.limit {
            Limit::HeadDown => ("the head is below the horizontal by", "°"),
            Limit::Inverted => ("the head has been below the horizontal for", " s"),
            Limit::Speed => ("the head turns at", "°/s"),
            Limit::Acceleration => ("the head is accelerated by", "°/s²"),
        };
        let (step, name, time_s) = (self.step + 1, &self.step_name, self.time_s);
        let (found, allowed, field) = (self.found, self.allowed, self.limit.field());
        write!(
            f,
            "step {step} ({name}) at {time_s:.1} s: {what} {found:.1}{unit}, this patient allows \
             {allowed:.1}{unit} ({field})"
        )
    }
}

/// The limits that a motion breaks, each at its worst.
pub fn limit_breaches(limits: &Limits, motion: &HeadMotion) -> Vec<LimitBreach> {
    let mut worst = Worst::default();
    let mut below_since_s: Option<f64> = None;
    let mut before = (0.0, motion.at(0.0).down_in_head.z);
    for (step, time_s) in sample_times(motion) {
        let pose = motion.at(time_s);
        let down_z = pose.down_in_head.z;
        if down_z > BELOW {
            let since_s =
                *below_since_s.get_or_insert_with(|| crossing_s(before, (time_s, down_z)));
            worst.inverted_s.take(time_s - since_s, step, time_s);
        } else if let Some(since_s) = below_since_s.take() {
            let until_s = crossing_s(before, (time_s, down_z));
            worst.inverted_s.take(until_s - since_s, step, until_s);
        }
        let below_deg = deg(down_z.clamp(-1.0, 1.0).asin());
        worst.head_down_deg.take(below_deg, step, time_s);
        let speed = deg(pose.angular_velocity_in_head_rad_s.norm());
        worst.speed_deg_s.take(speed, step, time_s);
        let acceleration = deg(pose.angular_acceleration_in_head_rad_s2.norm());
        worst.acceleration_deg_s2.take(acceleration, step, time_s);
        before = (time_s, down_z);
    }
    [
        (Limit::HeadDown, limits.head_down_deg, worst.head_down_deg),
        (Limit::Inverted, limits.inverted_s, worst.inverted_s),
        (Limit::Speed, limits.speed_deg_s, worst.speed_deg_s),
        (
            Limit::Acceleration,
            limits.acceleration_deg_s2,
            worst.acceleration_deg_s2,
        ),
    ]
    .into_iter()
    .filter_map(|(limit, allowed, peak)| {
        let allowed = allowed?;
        (peak.value > allowed * (1.0 + SLACK) + SLACK).then(|| LimitBreach {
            limit,
            step: peak.step,
            step_name: motion
                .steps
                .get(peak.step)
                .map_or_else(String::new, |s| s.name.clone()),
            time_s: peak.time_s,
            found: peak.value,
            allowed,
        })
    })
    .collect()
}

#[derive(Clone, Copy, Default)]
struct Worst {
    head_down_deg: Peak,
    inverted_s: Peak,
    speed_deg_s: Peak,
    acceleration_deg_s2: Peak,
}

#[derive(Clone, Copy, Default)]
struct Peak {
    value: f64,
    step: usize,
    time_s: f64,
}

impl Peak {
    fn take(&mut self, value: f64, step: usize, time_s: f64) {
        // The slack keeps the first of values that differ by rounding only.
        if value > self.value * (1.0 + 1e-9) {
            *self = Peak {
                value,
                step,
                time_s,
            };
        }
    }
}

/// Step and time: through every move, then the end of its hold.
fn sample_times(motion: &HeadMotion) -> impl Iterator<Item = (usize, f64)> {
    motion.times().iter().enumerate().flat_map(|(k, t)| {
        let move_s = t.hold_from_s - t.start_s;
        (0..=SAMPLES)
            .map(move |i| t.start_s + move_s * i as f64 / SAMPLES as f64)
            .chain([t.end_s])
            .map(move |time_s| (k, time_s))
    })
}

/// When the head passed the horizontal between two samples (time, down z).
fn crossing_s(before: (f64, f64), after: (f64, f64)) -> f64 {
    let change = after.1 - before.1;
    if change == 0.0 {
        return before.0;
    }
    let share = ((BELOW - before.1) / change).clamp(0.0, 1.0);
    before.0 + share * (after.0 - before.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compile::chair_angles;
    use lithodrome_chair::{Lever, MoveProfile, Step};

    /// Upright, 120° back in 3 s, 30 s there, up in 3 s.
    fn hallpike() -> HeadMotion {
        let step = |name: &str, track_deg, hold_s| Step {
            name: name.to_owned(),
            to: chair_angles(45.0, track_deg, 0.0),
            move_s: 3.0,
            hold_s,
        };
        HeadMotion::new(
            chair_angles(45.0, 0.0, 0.0),
            vec![step("Back", 120.0, 30.0), step("Up", 0.0, 10.0)],
            MoveProfile::MinimumJerk,
            Lever::default(),
        )
        .unwrap()
    }

    fn only(limits: Limits) -> Option<LimitBreach> {
        limit_breaches(&limits, &hallpike()).pop()
    }

    #[test]
    fn the_head_below_the_horizontal_is_measured_from_the_horizontal() {
        let head_down = |deg| Limits {
            head_down_deg: Some(deg),
            ..Limits::default()
        };
        let breach = only(head_down(20.0)).unwrap();
        assert!((breach.found - 30.0).abs() < 1e-9);
        assert_eq!(breach.step, 0);
        let words = breach.to_string();
        assert!(words.starts_with("step 1 (Back) at 3.0 s"), "{words}");
        assert!(words.contains("30.0°"), "{words}");
        assert_eq!(only(head_down(30.0)), None);
    }

    #[test]
    fn time_below_the_horizontal_is_from_crossing_to_crossing() {
        // Minimum jerk passes 90 of 120 degrees where 10 x³ - 15 x⁴ + 6 x⁵ = 3/4: x = 0.641166 by
        // bisection; before and after the hold the same.
        let expected_s = 30.0 + 2.0 * 3.0 * (1.0 - 0.641166);
        let inverted = |s| Limits {
            inverted_s: Some(s),
            ..Limits::default()
        };
        let breach = only(inverted(10.0)).unwrap();
        assert!((breach.found - expected_s).abs() < 0.01, "{}", breach.found);
        assert_eq!(breach.step, 1);
        assert_eq!(only(inverted(33.0)), None);
    }

    #[test]
    fn speed_and_acceleration_are_those_of_minimum_jerk() {
        // Flash & Hogan 1985, J Neurosci 5:1688: peak speed 15/8 of the mean, peak acceleration
        // 10/√3 of angle/time².
        let breach = only(Limits {
            speed_deg_s: Some(1.0),
            ..Limits::default()
        })
        .unwrap();
        assert!((breach.found - 15.0 / 8.0 * 40.0).abs() < 1e-9);
        assert!((breach.time_s - 1.5).abs() < 1e-9);
        let breach = only(Limits {
            acceleration_deg_s2: Some(1.0),
            ..Limits::default()
        })
        .unwrap();
        let expected = 10.0 / 3_f64.sqrt() * 120.0 / 9.0;
        assert!((breach.found / expected - 1.0).abs() < 1e-3);
    }

    #[test]
    fn nothing_is_limited_by_default() {
        assert!(limit_breaches(&Limits::default(), &hallpike()).is_empty());
    }
}
