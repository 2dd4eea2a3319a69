//! What a resident did with a case, one act after the other, and the one run that follows from it.
//!
//! A session is a list. Its run is computed from the start each time, so that debris moves on through
//! every test, also a wrong one, and so that what was seen can always be computed again.

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_debris::{Run, simulate};
use lithodrome_labyrinth::Labyrinth;
use lithodrome_nystagmus::EyeTrace;

use super::act::Act;
use super::driven_acts::recorded_motion;
use super::hidden_case::HiddenCase;
use super::seen::{Seen, seen_in};
use crate::compile::{Compiled, compile_in};
use crate::error::RehearsalError;
use crate::scenario::{At, DebrisEntry, FORMAT, Scenario, StartAngles, StepEntry};

/// Ears of hidden cases are drawn about this one: the most central of those that published outcomes leave.
pub(super) const EARS_ABOUT: &str = "typical-adult";

/// How long the patient sits in the chair and tells his history before the first act, s (assumed): debris
/// comes to rest, and what makes it stick has time to.
pub const HISTORY_S: f64 = 180.0;

/// A case with its ears, ready to be tested.
#[derive(Clone, Debug)]
pub struct Patient {
    /// What is hidden.
    pub case: HiddenCase,
    /// The ears.
    pub labyrinth: Arc<Labyrinth>,
}

/// A session, computed.
#[derive(Clone, Debug)]
pub struct SessionRun {
    /// The acts as a scenario, compiled.
    pub compiled: Compiled,
    /// Where the debris was.
    pub run: Run,
    /// The eyes, with something to fixate in the acts that were watched so.
    pub eyes: EyeTrace,
    /// What the resident could see, `[act]`.
    pub seen: Vec<Seen>,
}

impl Patient {
    /// The acts as a scenario; its first step is the history, [`HISTORY_S`] long.
    ///
    /// # Errors
    /// A step that no chair can do.
    pub fn scenario(&self, acts: &[Act]) -> Result<Scenario, RehearsalError> {
        let history = Act::wait("Sits and tells the history", HISTORY_S).step;
        let done = acts.iter().map(|act| act.step.clone());
        let steps: Vec<StepEntry> = std::iter::once(history).chain(done).collect();
        let scenario = Scenario {
            format: FORMAT,
            title: format!("Hidden case {}", self.case.seed),
            about: None,
            anatomy: EARS_ABOUT.to_owned(),
            debris: self.debris(),
            cupulae: self.case.cupulae.clone(),
            chair: StartAngles::default(),
            body: None,
            steps,
            limits: None,
            chair_limits: None,
            seed: Some(self.case.seed),
            engine: None,
            sat_s: None,
            visible_spv_deg_s: None,
            eyes: None,
            recorded: Vec::new(),
            notes: None,
        };
        let recorded = recorded_motion(&scenario, acts, HISTORY_S)?;
        Ok(Scenario {
            recorded,
            ..scenario
        })
    }

    /// The case's debris; what waits outside its canal is held there with time, as after a manoeuvre.
    fn debris(&self) -> Vec<DebrisEntry> {
        let mut debris = self.case.debris.clone();
        // What lies in a short arm from the start is loose there, as the case was drawn.
        for entry in debris.iter_mut().filter(|e| e.at != At::ShortArm) {
            entry.vestibule_hold.get_or_insert_default();
        }
        debris
    }

    /// Runs a session from its start.
    pub fn run(&self, acts: &[Act]) -> Result<SessionRun, RehearsalError> {
        self.run_with_progress(acts, &mut |_| ControlFlow::Continue(()))
    }

    /// Runs a session, telling the share done (0 to 1) now and then; `Break` cancels.
    pub fn run_with_progress(
        &self,
        acts: &[Act],
        progress: &mut dyn FnMut(f64) -> ControlFlow<()>,
    ) -> Result<SessionRun, RehearsalError> {
        let compiled = compile_in(&self.scenario(acts)?, Arc::clone(&self.labyrinth))?;
        let run = simulate(&compiled.model, &compiled.motion, compiled.engine, progress)?;
        let (eyes, seen) = seen_in(&compiled, &run, acts);
        Ok(SessionRun {
            compiled,
            run,
            eyes,
            seen,
        })
    }
}
