//! What changes during a run, and nothing that an engine only remembers.

use lithodrome_labyrinth::{Hint, Vec3, WallSample};
use nalgebra::Vector3;

use crate::model::endolymph::Displacement;
use crate::model::{CupulaFace, Pieces};

/// One body now.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BodyState {
    /// Its centre, Reid axes, mm.
    pub(crate) at: Vec3,
    /// The wall as seen from there, and where the next look at it begins.
    pub(crate) wall: WallSample,
    pub(crate) hint: Hint,
    /// Its mean velocity over the last step, mm/s.
    pub(crate) velocity: Vec3,
    /// The face of its cupula to which it is fixed, if it is.
    pub(crate) fixed_to: Option<CupulaFace>,
    /// The wall holds it.
    pub(crate) held: bool,
    /// It is held as it is as wide as the lumen.
    pub(crate) jammed: bool,
    /// With how much adhesion holds it while it rests, in multiples of its weight.
    pub(crate) grip_g: f64,
    /// Share of it that has fallen apart, and what it moves as.
    pub(crate) apart: f64,
    pub(crate) pieces: Pieces,
}

/// Everything that changes.
#[derive(Clone, Debug)]
pub(crate) struct State {
    /// As in the model.
    pub(crate) bodies: Vec<BodyState>,
    /// Endolymph and cupulae, `[ear]`.
    pub(crate) fluid: [Displacement; 2],
    /// Mean flow over the last step, mm³/s, `[ear]`, `[canal]`.
    pub(crate) flow: [Vector3<f64>; 2],
}

/// What a step of an engine tells besides the state.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stepped {
    /// How many bodies moved.
    pub(crate) moved: u64,
    /// How fast the volumes changed at its start and its end, mm³/s, `[ear][end]`.
    pub(crate) slope: [[Displacement; 2]; 2],
}
