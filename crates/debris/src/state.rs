//! What changes during a run.

use lithodrome_labyrinth::{Hint, Vec3, WallSample};

use crate::endolymph::Displacement;
use crate::forces::Action;
use crate::model::Model;

/// One body's place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Grain {
    pub(crate) at: Vec3,
    pub(crate) hint: Hint,
    /// The wall as seen from `at`.
    pub(crate) wall: WallSample,
    /// Its velocity in the last step, mm/s.
    pub(crate) velocity: Vec3,
    /// Nothing moves it until the head or the fluid moves.
    pub(crate) asleep: bool,
    /// Its pressure on the loops in the last step, mPa.
    pub(crate) pressure_mpa: nalgebra::Vector3<f64>,
    /// What acts on it half way through the present step.
    pub(crate) half: Option<Half>,
}

/// A body half way through a step of the settling engine.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Half {
    pub(crate) action: Action,
    /// Where it touched a wall that it did not touch at the start of the step.
    pub(crate) landed_at: Option<Vec3>,
}

/// Everything that changes.
#[derive(Clone, Debug)]
pub struct State {
    pub(crate) grains: Vec<Grain>,
    pub(crate) fluid: [Displacement; 2],
    /// Mean flow over the last step, mm³/s, `[ear]`, `[canal]`.
    pub(crate) flow: [nalgebra::Vector3<f64>; 2],
}

impl State {
    pub(crate) fn at(model: &Model, start: &[Vec3]) -> State {
        let grains = model
            .bodies
            .iter()
            .zip(start)
            .map(|(body, at)| {
                let ear = model.ear_of(body);
                let mut hint = ear.find(*at);
                let wall = ear.wall(*at, &mut hint);
                Grain {
                    at: *at,
                    hint,
                    wall,
                    velocity: Vec3::zeros(),
                    asleep: false,
                    pressure_mpa: nalgebra::Vector3::zeros(),
                    half: None,
                }
            })
            .collect();
        State {
            grains,
            fluid: [Displacement::rest(); 2],
            flow: [nalgebra::Vector3::zeros(); 2],
        }
    }
}
