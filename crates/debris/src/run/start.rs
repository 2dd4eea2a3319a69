//! The state in which a run begins.

use crate::law::{adhesion, cupula_weight};
use crate::model::endolymph::Displacement;
use crate::model::{Model, Pieces};
use crate::state::{BodyState, State};
use lithodrome_labyrinth::Vec3;
use nalgebra::Vector3;

/// Bodies at their places, at rest; cupulae that have a weight have settled under it long before.
pub(crate) fn initial_state(model: &Model) -> State {
    let bodies = model.bodies.iter().zip(&model.start).map(|(body, at)| {
        let ear = model.ear_of(body);
        let mut hint = ear.find(*at);
        let wall = ear.wall(*at, &mut hint);
        BodyState {
            at: *at,
            wall,
            hint,
            velocity: Vec3::zeros(),
            fixed_to: body.fixed_to,
            held: false,
            jammed: false,
            grip_g: 0.0,
            apart: 0.0,
            pieces: Pieces::whole(body),
        }
    });
    let weight = cupula_weight::pressure_mpa(model, &[model.start_pull_mm_s2; 2]);
    let mut state = State {
        bodies: bodies.collect(),
        fluid: model.start_fluid.unwrap_or_else(|| {
            [0, 1].map(|ear| Displacement {
                debris_mm3: weight[ear].component_div(&model.fluid[ear].stiffness),
                ..Displacement::rest()
            })
        }),
        flow: [Vector3::zeros(); 2],
    };
    adhesion::begin(model, &mut state);
    state
}
