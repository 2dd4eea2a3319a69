//! The engine of a run, whichever it is, behind one call.

use super::columns::Engine;
use crate::error::SimulateError;
use crate::law::jam::Plugged;
use crate::law::{adhesion, dispersal, jam};
use crate::model::{Drive, Model};
use crate::state::{State, Stepped};
use crate::{rigid, settling};

/// An engine with what it remembers besides the state.
pub(crate) struct Mover {
    engine: Memory,
    plugged: Plugged,
}

enum Memory {
    Settling(Box<settling::Memory>),
    Rigid(Box<rigid::World>),
}

impl Mover {
    pub(crate) fn new(engine: Engine, model: &Model, state: &State) -> Mover {
        Mover {
            engine: match engine {
                Engine::Settling => Memory::Settling(Box::new(settling::Memory::new(model))),
                Engine::Rigid => Memory::Rigid(Box::new(rigid::World::new(model, state))),
            },
            plugged: Plugged::default(),
        }
    }

    /// The longest step that the present state allows, s.
    pub(crate) fn step_limit_s(&self, model: &Model, state: &State, moving: bool) -> f64 {
        match &self.engine {
            Memory::Settling(memory) => memory.step_limit_s(model, state, moving),
            Memory::Rigid(world) => world.step_limit_s(state) * model.step_scale,
        }
    }

    /// Advances by `dt_s` to `time_s` under the drives at the start, half way and at the end; `held`
    /// says that all three are the same.
    pub(crate) fn advance(
        &mut self,
        model: &Model,
        state: &mut State,
        drives: [&Drive; 3],
        held: bool,
        dt_s: f64,
        time_s: f64,
    ) -> Result<Stepped, SimulateError> {
        let Mover { engine, plugged } = self;
        if !model.plain {
            let [_, mid, _] = drives;
            dispersal::update(model, state, dt_s);
            adhesion::update(model, state, drives, dt_s);
            jam::update(model, state, plugged, mid.pull_mm_s2);
        }
        let stepped = match engine {
            Memory::Settling(memory) => {
                settling::step::advance(model, state, memory, plugged, drives, held, dt_s)
            }
            Memory::Rigid(world) => world.advance(model, state, plugged, drives, dt_s, time_s)?,
        };
        match state.bodies.iter().position(|b| !b.at.sum().is_finite()) {
            None => Ok(stepped),
            Some(i) => Err(SimulateError::NotANumber {
                debris: i + 1,
                time_s,
            }),
        }
    }
}
