//! One member against print: cheap looks first, and no further once it is implausible.

use std::collections::BTreeMap;

use lithodrome_debris::Engine;
use serde::{Deserialize, Serialize};

use crate::findings::{
    Courses, Observation, Outcome, Published, Stage, observe_ear, observe_typical, tally,
};
use crate::members::{Member, MemberEars};

/// Standard deviations beyond which a member is implausible: three, as at most one in twenty of any
/// distribution with one peak lies beyond (Pukelsheim 1994, Am Stat 48:88).
pub const IMPLAUSIBLE: f64 = 3.0;

/// Outcomes that are left out in turn: a member that fails one of them only is looked at to the end.
pub const LEFT_OUT: [&str; 3] = ["dix_hallpike_decay_s", "reentry_at_once", "row_18"];

/// Share of a member's ears that may fail before it counts as one that cannot be built.
const MOST_FAILED: f64 = 0.34;

/// Ears of the first look; every further look has twice as many.
const FIRST_EARS: u32 = 6;

/// Value and sampling error, by outcome.
pub type Outcomes = BTreeMap<String, (f64, f64)>;

/// What came of one member.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Evaluation {
    /// Wave, from 1.
    pub wave: u32,
    /// Its place in the wave, from 0.
    pub index: u32,
    /// Its values, in the order of the unknown numbers.
    pub values: Vec<f64>,
    /// Ears it was looked at in; 0 if the throws were enough.
    pub ears: u32,
    /// Ears of these that could not be built or run.
    pub failed: u32,
    /// What came out.
    pub outcomes: Outcomes,
}

impl Evaluation {
    /// The member.
    pub fn member(&self) -> Member {
        Member {
            values: self.values.clone(),
        }
    }

    /// Greatest distance from a given outcome among those looked at, and its name; `but` is not counted.
    pub fn worst(&self, published: &Published, but: &[&str]) -> (f64, String) {
        let given = published
            .outcomes
            .iter()
            .filter(|o| o.given && !but.contains(&o.id.as_str()));
        let distances = given.filter_map(|o| Some((self.distance(o)?, o.id.clone())));
        distances
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .unwrap_or((f64::INFINITY, "cannot be built".to_owned()))
    }

    /// Distance from one outcome; `None` where it was not looked at.
    pub fn distance(&self, outcome: &Outcome) -> Option<f64> {
        let (value, sampling) = self.outcomes.get(&outcome.id)?;
        Some(outcome.distance(*value, *sampling))
    }

    /// It was looked at in as many ears as were asked for.
    pub fn is_whole(&self, ears: u32) -> bool {
        self.ears >= ears && f64::from(self.failed) <= MOST_FAILED * f64::from(self.ears)
    }
}

/// What members are looked at with.
pub(crate) struct Bench {
    pub(crate) published: Published,
    pub(crate) ears: MemberEars,
    pub(crate) courses: Courses,
    /// Ears of a whole look.
    pub(crate) most_ears: u32,
}

impl Bench {
    /// Looks at a member until it is implausible or the look is whole.
    pub(crate) fn evaluate(&self, wave: u32, index: u32, member: &Member) -> Evaluation {
        let mut found = Evaluation {
            wave,
            index,
            values: member.values.clone(),
            ears: 0,
            failed: 0,
            outcomes: Outcomes::new(),
        };
        let typical = self
            .ears
            .typical(member)
            .ok()
            .and_then(|case| observe_typical(&self.courses, &case).ok());
        let Some(typical) = typical else {
            return found;
        };
        self.take(&mut found, Stage::Typical, &[typical]);
        let wanted = |id: &str| self.published.outcome(id).is_some_and(|o| o.given);
        let mut seen: Vec<Observation> = Vec::new();
        let mut upto = FIRST_EARS.min(self.most_ears);
        while self.is_open(&found) && found.ears < self.most_ears {
            for index in found.ears..upto {
                let case = self.ears.ear(member, index).ok();
                let observed = case.and_then(|case| {
                    let rows = &self.published.rows;
                    observe_ear(&self.courses, rows, &case, index, Engine::Settling, &wanted).ok()
                });
                match observed {
                    Some(observed) => seen.push(observed),
                    None => found.failed += 1,
                }
            }
            found.ears = upto;
            upto = (2 * upto).min(self.most_ears);
            self.take(&mut found, Stage::Population, &seen);
        }
        found
    }

    fn take(&self, found: &mut Evaluation, stage: Stage, seen: &[Observation]) {
        let given = self.published.outcomes.iter();
        for outcome in given.filter(|o| o.stage == stage) {
            if let Some(t) = tally(outcome, seen) {
                let sampling = if stage == Stage::Typical {
                    0.0
                } else {
                    t.sampling
                };
                found
                    .outcomes
                    .insert(outcome.id.clone(), (t.value, sampling));
            }
        }
    }

    /// Nothing that counts for all sets rules it out so far.
    fn is_open(&self, found: &Evaluation) -> bool {
        let too_many = f64::from(found.failed) > MOST_FAILED * f64::from(found.ears.max(1));
        !too_many && found.worst(&self.published, &LEFT_OUT).0 <= IMPLAUSIBLE
    }
}
