//! What a patient who has sat for a while brings along: debris at rest, cupulae in balance.

use lithodrome_chair::HeadPose;

use super::columns::Engine;
use super::mover::Mover;
use super::start::initial_state;
use crate::error::SimulateError;
use crate::model::Model;

/// The longest step of sitting, s.
const STEP_S: f64 = 5.0;

impl Model {
    /// The model in which everything has been let go for `sat_s` with the head held as in `pose`; computed by
    /// the settling engine, whichever engine goes on from there.
    pub fn after_sitting(mut self, pose: &HeadPose, sat_s: f64) -> Result<Model, SimulateError> {
        let drive = self.drive(pose);
        let mut state = initial_state(&self);
        let mut mover = Mover::new(Engine::Settling, &self, &state);
        let mut time_s = 0.0;
        while time_s < sat_s {
            let limit_s = mover.step_limit_s(&self, &state, false).min(STEP_S);
            let dt_s = limit_s.min(sat_s - time_s);
            time_s = if dt_s < limit_s { sat_s } else { time_s + dt_s };
            mover.advance(&self, &mut state, [&drive; 3], true, dt_s, time_s)?;
        }
        self.start = state.bodies.iter().map(|b| b.at).collect();
        for (body, now) in self.bodies.iter_mut().zip(&state.bodies) {
            body.fixed_to = now.fixed_to;
        }
        self.start_fluid = Some(state.fluid);
        Ok(self)
    }
}
