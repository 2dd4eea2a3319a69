//! A session as it is kept: the case's seed, what was done, what was named and when.

use serde::{Deserialize, Serialize};

use super::act::{Act, Part};
use super::difficulty::Difficulty;
use super::hidden_case::HiddenCase;
use crate::rules::Diagnosis;

/// What a resident did with a case. The run follows from it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SessionRecord {
    /// Seed of the case.
    pub seed: u64,
    /// How hard it is.
    pub difficulty: Difficulty,
    /// What was done, in order.
    pub acts: Vec<Act>,
    /// What was named; `None` if nothing was.
    pub answer: Option<Answer>,
}

/// What was named, and after which act.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Answer {
    /// What is ill.
    pub named: Diagnosis,
    /// How many acts came before it.
    pub after_acts: usize,
}

impl SessionRecord {
    /// Nothing done yet.
    pub fn new(case: &HiddenCase) -> SessionRecord {
        SessionRecord {
            seed: case.seed,
            difficulty: case.difficulty,
            acts: Vec::new(),
            answer: None,
        }
    }

    /// The case.
    pub fn case(&self) -> HiddenCase {
        HiddenCase::drawn(self.seed, self.difficulty)
    }

    /// A control test came after a treatment.
    pub fn has_control(&self) -> bool {
        let treated = self
            .acts
            .iter()
            .rposition(|act| act.part == Part::Treatment);
        treated.is_some_and(|at| self.acts[at..].iter().any(|a| a.part == Part::Control))
    }
}
