//! Predicts where a step leads and takes the forces there.

use lithodrome_labyrinth::Vec3;
use nalgebra::Vector3;

use super::body_memory::{BodyMemory, Predicted};
use super::rest_distance::settle;
use crate::law::forces::{self, Action};
use crate::model::{Body, Model};
use crate::state::BodyState;

/// A body goes on with the velocity that its last two steps tell of, or else with that of the forces.
pub(super) fn predict(
    model: &Model,
    body: &Body,
    now: &BodyState,
    its: &mut BodyMemory,
    flow: &Vector3<f64>,
    [pull, pull_then]: [Vec3; 2],
    [last_s, dt_s]: [f64; 2],
) {
    if body.matter.dispersal.is_some() || !its.known {
        its.action = forces::action(model, body, &now.pieces, now.at, &now.wall, pull);
        its.known = true;
    }
    let first = &its.action;
    let mean = match (its.last, its.bend) {
        (Some(last), Some(bend)) => last + bend * (0.5 * (last_s + dt_s)),
        _ => first.allowed(flow),
    };
    let (mut at, mut hint) = (now.at + mean * dt_s, now.hint);
    let pressed = first.pressed(flow);
    let wall = settle(model, body, &mut at, &mut hint, pressed);
    (its.under_way, its.pushed) = (true, false);
    let end = its.predicted.get_or_insert_with(|| Predicted {
        at,
        hint,
        wall,
        action: Action::default(),
        pressed,
        correction_mm: Vec3::zeros(),
    });
    (end.at, end.hint, end.wall, end.pressed) = (at, hint, wall, pressed);
    end.action = forces::action(model, body, &now.pieces, at, &end.wall, pull_then);
}
