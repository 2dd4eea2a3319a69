//! What the settling engine remembers from step to step. A run could be taken up from its state alone.

use lithodrome_labyrinth::length;
use nalgebra::Vector3;

use super::body_memory::BodyMemory;
use super::contacts::Contacts;
use super::step_size::{self, BodyLimits};
use crate::model::{Body, Model};
use crate::state::{BodyState, State};

/// From this the engine goes on to longer steps, s.
pub(crate) const FIRST_STEP_S: f64 = 0.01;

/// Longest step with a body that wears its hold off: when it lets go is known this well, s.
const WEARING_S: f64 = 0.1;

/// All that is remembered of a run.
#[derive(Clone, Debug)]
pub(crate) struct Memory {
    pub(super) bodies: Vec<BodyMemory>,
    pub(super) contacts: Contacts,
    /// Pressure of the debris at the start and the end of the last step, mPa, `[end][ear][canal]`.
    pub(super) pressure_mpa: [[Vector3<f64>; 2]; 2],
    /// Length of the last step, s, and by how much its places were predicted wrong, mm.
    pub(super) last_s: f64,
    pub(super) error_mm: f64,
}

impl Memory {
    pub(crate) fn new(model: &Model) -> Memory {
        let n = model.bodies.len();
        Memory {
            bodies: vec![BodyMemory::default(); n],
            contacts: Contacts::new(n),
            pressure_mpa: [[Vector3::zeros(); 2]; 2],
            last_s: FIRST_STEP_S,
            error_mm: 0.0,
        }
    }

    /// The longest step that the present state allows, s.
    pub(crate) fn step_limit_s(&self, model: &Model, state: &State, moving: bool) -> f64 {
        let bodies = state.bodies.iter().zip(&self.bodies);
        let awake = bodies
            .filter(|(now, its)| !now.held && now.fixed_to.is_none() && (moving || !its.asleep));
        let limits = awake.map(|(now, its)| BodyLimits {
            speed_mm_s: length(&now.velocity),
            radius_mm: now.wall.radius_mm,
            on_wall: its.known && its.action.walls[0].is_some(),
            predictable: its.bend.is_some(),
            jostled: its.pushed && !now.wall.alone && now.wall.radius_mm.is_finite(),
        });
        let wears = |(body, now): (&Body, &BodyState)| {
            now.held && !now.jammed && body.matter.adhesion.wear_s.is_some()
        };
        let limit_s = if model.bodies.iter().zip(&state.bodies).any(wears) {
            WEARING_S * model.step_scale
        } else {
            f64::INFINITY
        };
        let by_error_s = step_size::next_s(model, self.last_s, self.error_mm);
        let still = step_size::rests(state.flow.iter().flat_map(|ear| ear.iter().copied()));
        step_size::longest_s(model, limits, moving, still)
            .min(by_error_s)
            .min(limit_s)
    }
}
