//! The ears that a hidden case is in, from its seed: drawn again where the case cannot be in them.

use std::path::Path;
use std::sync::Arc;

use lithodrome_labyrinth::{Anatomy, Variation};

use super::hidden_case::{HiddenCase, Puzzle};
use super::session::{EARS_ABOUT, Patient};
use super::trials::test_trials;
use crate::compile::{compile_in, load_anatomy};
use crate::error::RehearsalError;

/// Most draws of an ear for one case.
const DRAWS: u64 = 32;

impl Patient {
    /// The case of a seed in the ears of that seed.
    pub fn of_seed(seed: u64) -> Result<Patient, RehearsalError> {
        Patient::with(&HiddenCase::of_seed(seed))
    }

    /// A case in its ears. An ear that cannot be built, into which the case's debris does not fit, or in
    /// which it shows a nystagmus that the case is to be without, is drawn again.
    pub fn with(case: &HiddenCase) -> Result<Patient, RehearsalError> {
        let mean = load_anatomy(EARS_ABOUT, Path::new(""))?;
        let mut last = None;
        for draw in 0..DRAWS {
            let drawn = Patient::drawn(case, &mean, case.ear_seed.wrapping_add(draw));
            if let Ok(patient) = &drawn
                && patient.is_what_it_is_called()?
            {
                return drawn;
            }
            last = Some(drawn);
        }
        match last {
            Some(drawn) => drawn,
            None => unreachable!("at least one ear is drawn"),
        }
    }

    fn drawn(case: &HiddenCase, mean: &Anatomy, seed: u64) -> Result<Patient, RehearsalError> {
        let built = Variation::mixed().labyrinth(mean, seed);
        let labyrinth = built.map_err(|error| RehearsalError::Anatomy {
            path: EARS_ABOUT.into(),
            error,
        })?;
        let patient = Patient {
            case: case.clone(),
            labyrinth: Arc::new(labyrinth),
        };
        compile_in(&patient.scenario(&[])?, Arc::clone(&patient.labyrinth))?;
        Ok(patient)
    }

    /// Vertigo without nystagmus is one that some test lets the patient feel and none lets anybody see; how
    /// much debris that is differs from ear to ear. Other cases are what they hold.
    fn is_what_it_is_called(&self) -> Result<bool, RehearsalError> {
        if self.case.puzzle != Puzzle::VertigoWithoutNystagmus {
            return Ok(true);
        }
        let trials = test_trials(self)?;
        Ok(trials.iter().any(|t| t.vertigo) && trials.iter().all(|t| t.best.is_none()))
    }
}
