//! Limits watched pose by pose, as a run goes on or a chair is driven.

use lithodrome_chair::HeadPose;

use super::breach::{Limit, LimitBreach, Whose, at_deg};
use crate::scenario::Limits;
use crate::units::deg;

/// Gravity this far along the head's long axis counts as below the horizontal: half a minute of arc,
/// above the rounding of angles.
const BELOW: f64 = 1.5e-4;

/// Slack of every comparison, as a share: a move at exactly the limit is within it.
const SLACK: f64 = 1e-6;

/// Limits that are seen one after the other, in the order of [`LimitWatch::breaches`].
const WATCHED: [Limit; 5] = [
    Limit::HeadDown,
    Limit::Inverted,
    Limit::Speed,
    Limit::Acceleration,
    Limit::Yaw,
];

/// Watches a motion for limits that can be told from poses; a throw is known by its step instead.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitWatch {
    limits: Limits,
    whose: Whose,
    worst: [Peak; WATCHED.len()],
    broken_since_s: [Option<f64>; WATCHED.len()],
    below_since_s: Option<f64>,
    before: Option<(f64, f64)>,
}

#[derive(Clone, Copy, Debug, PartialEq, Default)]
struct Peak {
    value: f64,
    step: usize,
    time_s: f64,
    at_deg: [f64; 2],
}

impl LimitWatch {
    /// A watch over a motion that has not begun.
    pub fn new(limits: Limits, whose: Whose) -> LimitWatch {
        LimitWatch {
            limits,
            whose,
            worst: Default::default(),
            broken_since_s: Default::default(),
            below_since_s: None,
            before: None,
        }
    }

    /// Looks at the next pose; `step` is counted from 0. Tells a limit the first time that it is passed.
    pub fn see(&mut self, step: usize, pose: &HeadPose) -> Option<Limit> {
        let time_s = pose.time_s;
        let now = (time_s, pose.down_in_head.z);
        let inverted = self.inverted(now);
        self.before = Some(now);
        let values = [
            (deg(now.1.clamp(-1.0, 1.0).asin()), time_s),
            inverted,
            (deg(pose.angular_velocity_in_head_rad_s.norm()), time_s),
            (deg(pose.angular_acceleration_in_head_rad_s2.norm()), time_s),
            (deg(pose.angles.yaw_rad.abs()), time_s),
        ];
        let mut told = None;
        for (i, (value, at_s)) in values.into_iter().enumerate() {
            let peak = &mut self.worst[i];
            // The slack keeps the first of values that differ by rounding only.
            if value > peak.value * (1.0 + 1e-9) {
                *peak = Peak {
                    value,
                    step,
                    time_s: at_s,
                    at_deg: at_deg(pose),
                };
            }
            if self.broken_since_s[i].is_none() && self.is_beyond(i, value) {
                self.broken_since_s[i] = Some(at_s);
                told = told.or(Some(WATCHED[i]));
            }
        }
        told
    }

    /// The limits passed so far, each at its worst; `name_of` gives the name of a step.
    pub fn breaches(&self, name_of: impl Fn(usize) -> String) -> Vec<LimitBreach> {
        let broken = (0..WATCHED.len()).filter_map(|i| Some((i, self.broken_since_s[i]?)));
        broken
            .filter_map(|(i, since_s)| {
                let peak = self.worst[i];
                Some(LimitBreach {
                    limit: WATCHED[i],
                    whose: self.whose,
                    step: peak.step,
                    step_name: name_of(peak.step),
                    time_s: peak.time_s,
                    since_s,
                    at_deg: peak.at_deg,
                    found: peak.value,
                    allowed: self.allowed(i)?,
                })
            })
            .collect()
    }

    /// Time below the horizontal in one go, s, and when that is.
    fn inverted(&mut self, now: (f64, f64)) -> (f64, f64) {
        let before = self.before.unwrap_or(now);
        if now.1 > BELOW {
            let since_s = *self
                .below_since_s
                .get_or_insert_with(|| crossing_s(before, now));
            return (now.0 - since_s, now.0);
        }
        match self.below_since_s.take() {
            Some(since_s) => {
                let until_s = crossing_s(before, now);
                (until_s - since_s, until_s)
            }
            None => (0.0, now.0),
        }
    }

    fn allowed(&self, i: usize) -> Option<f64> {
        match WATCHED[i] {
            Limit::HeadDown => self.limits.head_down_deg,
            Limit::Inverted => self.limits.inverted_s,
            Limit::Speed => self.limits.speed_deg_s,
            Limit::Acceleration => self.limits.acceleration_deg_s2,
            Limit::Yaw => self.limits.yaw_deg,
            Limit::Throw => None,
        }
    }

    fn is_beyond(&self, i: usize, value: f64) -> bool {
        self.allowed(i)
            .is_some_and(|allowed| value > allowed * (1.0 + SLACK) + SLACK)
    }
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
