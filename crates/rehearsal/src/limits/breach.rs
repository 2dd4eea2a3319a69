//! What can be limited, and one limit that is broken.

use lithodrome_chair::HeadPose;

use crate::units::deg;

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
    /// Yaw to either side, degrees.
    Yaw,
    /// Throws.
    Throw,
}

impl Limit {
    /// Name of its field in a scenario.
    pub const fn field(self) -> &'static str {
        match self {
            Limit::HeadDown => "head_down_deg",
            Limit::Inverted => "inverted_s",
            Limit::Speed => "speed_deg_s",
            Limit::Acceleration => "acceleration_deg_s2",
            Limit::Yaw => "yaw_deg",
            Limit::Throw => "no_throw",
        }
    }
}

/// Whose limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Whose {
    /// The patient's, `limits` in a scenario.
    Patient,
    /// The chair's, `chair_limits` in a scenario.
    Chair,
}

/// One limit that a step of a motion breaks, at its worst.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitBreach {
    /// Which.
    pub limit: Limit,
    /// Whose.
    pub whose: Whose,
    /// Step, counted from 0.
    pub step: usize,
    /// Name of the step.
    pub step_name: String,
    /// When it is worst, s.
    pub time_s: f64,
    /// When it is broken first, s.
    pub since_s: f64,
    /// Yaw and track at its worst, degrees.
    pub at_deg: [f64; 2],
    /// The value, in the unit of the limit; the turn thrown, degrees, for [`Limit::Throw`].
    pub found: f64,
    /// The limit; 0 for [`Limit::Throw`].
    pub allowed: f64,
}

impl LimitBreach {
    /// What is broken and what is allowed, in words without the name of a field.
    pub fn words(&self) -> String {
        let (what, unit) = self.what();
        let owner = match self.whose {
            Whose::Patient => "patient",
            Whose::Chair => "chair",
        };
        let found = format!("{what} {:.1}{unit}, this {owner} allows", self.found);
        match self.limit {
            Limit::Throw => format!("{found} no throw"),
            _ => format!("{found} {:.1}{unit}", self.allowed),
        }
    }

    /// The same with the step, the time of its worst, and since when.
    pub fn sentence(&self) -> String {
        let (step, name, time_s) = (self.step + 1, &self.step_name, self.time_s);
        // A tenth of a second is all that is shown.
        let since = if self.limit != Limit::Throw && time_s - self.since_s > 0.05 {
            format!(", beyond it since {:.1} s", self.since_s)
        } else {
            String::new()
        };
        format!(
            "step {step} ({name}) at {time_s:.1} s: {}{since}",
            self.words()
        )
    }

    const fn what(&self) -> (&'static str, &'static str) {
        match self.limit {
            Limit::HeadDown => ("the head is below the horizontal by", "°"),
            Limit::Inverted => ("the head has been below the horizontal for", " s"),
            Limit::Speed => ("the head turns at", "°/s"),
            Limit::Acceleration => ("the head is accelerated by", "°/s²"),
            Limit::Yaw => ("yaw is off by", "°"),
            Limit::Throw => ("a throw turns", "°"),
        }
    }
}

/// Of each limit and owner the worst breach only, throws all: for a list that has to be short.
pub fn worst_of_each(breaches: Vec<LimitBreach>) -> Vec<LimitBreach> {
    let mut kept: Vec<LimitBreach> = Vec::new();
    for breach in breaches {
        let same = |k: &&mut LimitBreach| (k.limit, k.whose) == (breach.limit, breach.whose);
        match kept.iter_mut().find(same) {
            Some(before) if breach.limit != Limit::Throw => {
                if breach.found > before.found {
                    *before = breach;
                }
            }
            _ => kept.push(breach),
        }
    }
    kept
}

/// Yaw and track of a pose, degrees.
pub(crate) fn at_deg(pose: &HeadPose) -> [f64; 2] {
    [deg(pose.angles.yaw_rad), deg(pose.angles.track_rad)]
}
