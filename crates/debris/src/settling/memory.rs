//! What the settling engine remembers from step to step. A run could be taken up from its state alone.

use lithodrome_labyrinth::{Hint, Vec3, WallSample};
use nalgebra::Vector3;

use super::contacts::Contacts;
use super::step_size::{self, BodyLimits};
use crate::law::forces::Action;
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

/// What one body's last steps tell about the next.
#[derive(Clone, Copy, Debug, Default)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is independent of the others"
)]
pub(crate) struct BodyMemory {
    /// What acts on it where it is, if that is known.
    pub(super) action: Action,
    pub(super) known: bool,
    /// Its mean velocity over the last step, mm/s.
    pub(super) last: Option<Vec3>,
    /// How that changes per second, mm/s².
    pub(super) bend: Option<Vec3>,
    /// Nothing moves it until the head or the fluid moves; its pressure on the loops till then, mPa.
    pub(super) asleep: bool,
    pub(super) pressure_mpa: Vector3<f64>,
    /// A step is under way, in which others push it.
    pub(super) under_way: bool,
    pub(super) pushed: bool,
    /// Where the last one was predicted to lead.
    pub(super) predicted: Option<Predicted>,
}

/// The predicted end of a step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Predicted {
    pub(super) at: Vec3,
    pub(super) hint: Hint,
    pub(super) wall: WallSample,
    pub(super) action: Action,
    /// Whether it has been pressed on the wall and the cupula all the way.
    pub(super) pressed: [bool; 2],
    /// By what it has to be corrected, mm.
    pub(super) correction_mm: Vec3,
}

/// A body that others push off its wall by more than this leaves it, mm.
const LIFTED_MM: f64 = 1e-5;

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
            speed_mm_s: now.velocity.norm(),
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
        step_size::longest_s(model, limits, moving)
            .min(by_error_s)
            .min(limit_s)
    }
}

impl BodyMemory {
    /// Where the step under way ends as it has been corrected, and what it touches there.
    pub(super) fn end(&self) -> Option<(Vec3, [Option<Vec3>; 2])> {
        let end = self.predicted.as_ref().filter(|_| self.under_way)?;
        Some((end.at + end.correction_mm, end.action.walls))
    }

    /// Lets it end elsewhere, pushed there by others.
    pub(super) fn ends_at(&mut self, at: Vec3) {
        let Some(end) = self.predicted.as_mut().filter(|_| self.under_way) else {
            return;
        };
        let by_mm = at - end.at - end.correction_mm;
        for (wall, pressed) in end.action.walls.into_iter().zip(&mut end.pressed) {
            // What lies on others is not pressed on the wall.
            *pressed &= wall.is_none_or(|away| by_mm.dot(&away) < LIFTED_MM);
        }
        end.correction_mm += by_mm;
        self.pushed = true;
    }
}
