//! The engine of a run, whichever it is, behind one call.

use crate::model::{Drive, Model};
use crate::run::Engine;
use crate::simulate::SimulateError;
use crate::state::State;
use crate::{adhesion, dispersal, jam, rigid, settling};

/// An engine with what it keeps besides the state.
pub(crate) enum Mover {
    Settling,
    Rigid(Box<rigid::World>),
}

impl Mover {
    pub(crate) fn new(engine: Engine, model: &Model, state: &State) -> Mover {
        match engine {
            Engine::Settling => Mover::Settling,
            Engine::Rigid => Mover::Rigid(Box::new(rigid::World::new(model, state))),
        }
    }

    /// The longest step that the present state allows, s.
    pub(crate) fn step_limit_s(&self, model: &Model, state: &State, moving: bool) -> f64 {
        match self {
            Mover::Settling => settling::step_limit_s(model, state, moving),
            Mover::Rigid(world) => world.step_limit_s(state) * model.step_scale,
        }
    }

    /// Advances by `dt_s` to `time_s` under the drives at the start, half way and at the end; `held`
    /// says that all three are the same. Returns the number of bodies moved.
    pub(crate) fn advance(
        &mut self,
        model: &Model,
        state: &mut State,
        drives: [&Drive; 3],
        held: bool,
        dt_s: f64,
        time_s: f64,
    ) -> Result<u64, SimulateError> {
        if !model.plain {
            let [_, mid, _] = drives;
            dispersal::update(model, state, dt_s);
            adhesion::update(model, state, drives, dt_s);
            jam::update(model, state, mid.pull_mm_s2);
        }
        let moved = match self {
            Mover::Settling => settling::advance(model, state, drives, held, dt_s),
            Mover::Rigid(world) => world.advance(model, state, drives, dt_s, time_s)?,
        };
        match state.grains.iter().position(|g| !g.at.sum().is_finite()) {
            None => Ok(moved),
            Some(i) => Err(SimulateError::NotANumber {
                debris: i + 1,
                time_s,
            }),
        }
    }
}

/// How long the next step is and where it ends: as long as `limit_s` allows, and rather two even steps
/// than one and a crumb before `end_s`.
pub(crate) fn next_step(time_s: f64, end_s: f64, limit_s: f64) -> (f64, f64) {
    let left = end_s - time_s;
    if left <= limit_s {
        (left, end_s)
    } else if left < 2.0 * limit_s {
        (left / 2.0, time_s + left / 2.0)
    } else {
        (limit_s, time_s + limit_s)
    }
}
