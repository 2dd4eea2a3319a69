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

/// More than this beyond what a step began with is the step's own doing, as a share and in the limit's unit.
const WORSE: (f64, f64) = (0.01, 0.5);

/// Watches a motion for limits that can be told from poses; a throw is known by its step instead.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitWatch {
    limits: Limits,
    whose: Whose,
    steps: Vec<Watched>,
    told: [bool; WATCHED.len()],
    below_since_s: Option<f64>,
    before: Option<(f64, f64)>,
}

/// What was seen in one step, limit by limit.
#[derive(Clone, Debug, PartialEq)]
struct Watched {
    step: usize,
    of: [OfLimit; WATCHED.len()],
}

#[derive(Clone, Copy, Debug, PartialEq, Default)]
struct OfLimit {
    worst: Peak,
    last: Peak,
    since_s: Option<f64>,
    /// The value that an earlier step has left, as long as it is beyond the limit.
    left_over: Option<f64>,
    /// The step itself went beyond the limit.
    own: bool,
    /// It is beyond the limit at the latest pose.
    beyond: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Default)]
struct Peak {
    value: f64,
    time_s: f64,
    at_deg: [f64; 2],
}

impl OfLimit {
    fn see(&mut self, limit: Limit, now: Peak, beyond: bool, is_left_over: bool) {
        if is_left_over && beyond {
            self.left_over = Some(now.value);
        }
        // The slack keeps the first of values that differ by rounding only.
        if now.value > self.worst.value * (1.0 + 1e-9) {
            self.worst = now;
        }
        (self.last, self.beyond) = (now, beyond);
        if !beyond {
            self.left_over = None;
            return;
        }
        self.since_s.get_or_insert(now.time_s);
        self.own |= match self.left_over {
            None => true,
            // Time only grows: what an earlier step began goes on.
            Some(_) if limit == Limit::Inverted => false,
            Some(began) => now.value > began * (1.0 + WORSE.0) + WORSE.1,
        };
    }

    /// The worst of it, if the step breaks the limit: it went beyond it or stays there. A move that only leaves where
    /// an earlier step had gone breaks nothing.
    fn broken(&self) -> Option<Peak> {
        if self.own {
            Some(self.worst)
        } else {
            self.beyond.then_some(self.last)
        }
    }
}

impl LimitWatch {
    /// A watch over a motion that has not begun.
    pub fn new(limits: Limits, whose: Whose) -> LimitWatch {
        LimitWatch {
            limits,
            whose,
            steps: Vec::new(),
            told: Default::default(),
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
        let is_new = self.steps.last().is_none_or(|last| last.step != step);
        let is_left_over = is_new && !self.steps.is_empty();
        if is_new {
            self.steps.push(Watched {
                step,
                of: Default::default(),
            });
        }
        let beyond: [bool; WATCHED.len()] = std::array::from_fn(|i| self.is_beyond(i, values[i].0));
        let watched = self.steps.last_mut()?;
        let mut told = None;
        for (i, (value, at_s)) in values.into_iter().enumerate() {
            let peak = Peak {
                value,
                time_s: at_s,
                at_deg: at_deg(pose),
            };
            watched.of[i].see(WATCHED[i], peak, beyond[i], is_left_over);
            if beyond[i] && !self.told[i] {
                self.told[i] = true;
                told = told.or(Some(WATCHED[i]));
            }
        }
        told
    }

    /// The limits passed so far, for every step that breaks one at its worst, limit by limit; `name_of` gives the name
    /// of a step.
    pub fn breaches(&self, name_of: impl Fn(usize) -> String) -> Vec<LimitBreach> {
        let mut all = Vec::new();
        for (i, limit) in WATCHED.into_iter().enumerate() {
            let Some(allowed) = self.allowed(i) else {
                continue;
            };
            for watched in &self.steps {
                let of = &watched.of[i];
                let Some((worst, since_s)) = of.broken().zip(of.since_s) else {
                    continue;
                };
                all.push(LimitBreach {
                    limit,
                    whose: self.whose,
                    step: watched.step,
                    step_name: name_of(watched.step),
                    time_s: worst.time_s,
                    since_s,
                    at_deg: worst.at_deg,
                    found: worst.value,
                    allowed,
                });
            }
        }
        all
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
