//! What changes during a run.

use lithodrome_labyrinth::{Hint, Vec3, WallSample};

use crate::adhesion;
use crate::crowd::Crowd;
use crate::cupula_weight;
use crate::endolymph::{Displacement, Endolymph};
use crate::model::{Body, Model};
use crate::settling::Course;

/// From this the settling engine goes on to longer steps, s.
pub(crate) const FIRST_STEP_S: f64 = 0.01;

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
    /// With how much the wall holds it, in multiples of its weight.
    pub(crate) grip_g: f64,
    /// Share of it that has fallen apart.
    pub(crate) apart: f64,
    /// It is as wide as the lumen.
    pub(crate) jammed: bool,
    /// Its pressure on the loops in the last step, mPa.
    pub(crate) pressure_mpa: nalgebra::Vector3<f64>,
    /// What its last steps tell about the next, for the settling engine.
    pub(crate) course: Course,
}

/// Everything that changes.
#[derive(Clone, Debug)]
pub struct State {
    /// The bodies as they are now.
    pub(crate) bodies: Vec<Body>,
    pub(crate) grains: Vec<Grain>,
    pub(crate) fluid: [Displacement; 2],
    /// Mean flow over the last step, mm³/s, `[ear]`, `[canal]`.
    pub(crate) flow: [nalgebra::Vector3<f64>; 2],
    /// Pressure of the debris at the start and the end of the last step, mPa, `[end][ear][canal]`.
    pub(crate) pressure_mpa: [[nalgebra::Vector3<f64>; 2]; 2],
    /// How fast the volumes changed at the start and the end of the last advance, mm³/s, `[ear][end]`.
    pub(crate) slope: [[Displacement; 2]; 2],
    /// Length of the last step, s, and how far its places were foretold wrong, mm.
    pub(crate) step_s: f64,
    pub(crate) error_mm: f64,
    /// Contacts between bodies, for the settling engine.
    pub(crate) crowd: Crowd,
    /// The fluid of an ear in which held bodies hinder the flow, `[ear]`.
    pub(crate) plugged: [Option<Box<Endolymph>>; 2],
}

impl State {
    pub(crate) fn at(model: &Model, start: &[Vec3], pull_mm_s2: Vec3) -> State {
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
                    grip_g: adhesion::full_grip_g(body),
                    apart: 0.0,
                    jammed: false,
                    pressure_mpa: nalgebra::Vector3::zeros(),
                    course: Course::default(),
                }
            })
            .collect();
        // Cupulae that have a weight have settled under it long before.
        let weight = cupula_weight::pressure_mpa(model, &[pull_mm_s2; 2]);
        let fluid = [0, 1].map(|ear| Displacement {
            debris_mm3: weight[ear].component_div(&model.fluid[ear].stiffness),
            ..Displacement::rest()
        });
        State {
            bodies: model.bodies.clone(),
            grains,
            fluid,
            flow: [nalgebra::Vector3::zeros(); 2],
            pressure_mpa: [[nalgebra::Vector3::zeros(); 2]; 2],
            slope: [[Displacement::rest(); 2]; 2],
            step_s: FIRST_STEP_S,
            error_mm: 0.0,
            crowd: Crowd::new(model.bodies.len()),
            plugged: [None, None],
        }
    }
}
