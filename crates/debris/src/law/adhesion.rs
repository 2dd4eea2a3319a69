//! What holds a resting body: the wall and its neighbours, and the cupula that it is fixed to.

use lithodrome_labyrinth::{Vec3, length};
use nalgebra::Vector3;

use super::forces;
use crate::model::{Adhesion, Body, Drive, Model};
use crate::place::is_out;
use crate::state::{BodyState, State};

/// A body slower than this share of its rolling speed under its own weight counts as resting.
const SLOW: f64 = 0.02;
/// Within this share of its radius from its rest distance a body lies on the wall.
const ON_WALL: f64 = 2e-3;
/// Bodies whose middles are at most this many touching distances apart hold each other (assumed).
const TOUCHING: f64 = 1.1;

/// Before a step: lets bodies go that are pulled too hard, and holds those that rest.
pub(crate) fn update(model: &Model, state: &mut State, drives: [&Drive; 3], dt_s: f64) {
    for (i, body) in model.bodies.iter().enumerate() {
        let ear = body.ear.index();
        if let Some(face) = state.bodies[i].fixed_to {
            let away = model.ear_of(body).canal(body.canal).cupula.to_duct_in_reid * face.sign();
            let pulled = drives
                .iter()
                .map(|d| pulled_g(model, body, d.pull_mm_s2[ear], away))
                .fold(0.0, f64::max);
            if body.matter.attachment_g.is_some_and(|hold| pulled > hold) {
                state.bodies[i].fixed_to = None;
            }
            continue;
        }
        let adhesion = hold_at(body, &state.bodies[i]);
        if adhesion.wall_g <= 0.0 && adhesion.neighbour_g <= 0.0 {
            state.bodies[i].held &= state.bodies[i].jammed;
            state.bodies[i].grip_g = 0.0;
            continue;
        }
        if !rests(model, body, &state.bodies[i]) {
            state.bodies[i].grip_g = 0.0;
            state.bodies[i].held = false;
            continue;
        }
        let neighbour = adhesion.neighbour_g > 0.0 && touches_one_at_rest(model, state, i);
        let full_g = adhesion.wall_g + if neighbour { adhesion.neighbour_g } else { 0.0 };
        let flow = state.flow[ear];
        let now = &mut state.bodies[i];
        let load_g = drives
            .iter()
            .map(|d| load_g(model, body, now, d.pull_mm_s2[ear], &flow))
            .fold(0.0, f64::max);
        if adhesion.growth_s > 0.0 {
            now.grip_g += (full_g - now.grip_g) * (1.0 - (-dt_s / adhesion.growth_s).exp());
            if let Some(wear_s) = adhesion.wear_s {
                now.grip_g = (now.grip_g - load_g * dt_s / wear_s).max(0.0);
            }
        } else {
            now.grip_g = full_g;
        }
        now.held = load_g <= now.grip_g;
        if now.held {
            now.velocity = Vec3::zeros();
        }
    }
}

/// What holds a body where it is.
fn hold_at(body: &Body, now: &BodyState) -> Adhesion {
    match body.matter.vestibule_hold {
        Some(hold) if is_out(now.wall.region) => Adhesion {
            wall_g: hold.hold_g,
            growth_s: hold.sets_s,
            ..Adhesion::default()
        },
        _ => body.matter.adhesion,
    }
}

/// The holds with which a run begins, in multiples of each body's weight: in a canal that of a long rest, in
/// the vestibule none if it sets there with time.
pub(crate) fn begin(model: &Model, state: &mut State) {
    for (i, body) in model.bodies.iter().enumerate() {
        let Adhesion {
            wall_g,
            neighbour_g,
            ..
        } = body.matter.adhesion;
        let sets = body.matter.vestibule_hold.is_some();
        if sets && is_out(state.bodies[i].wall.region) {
            continue;
        }
        let neighbour = neighbour_g > 0.0 && touches_one_at_rest(model, state, i);
        state.bodies[i].grip_g = wall_g + if neighbour { neighbour_g } else { 0.0 };
    }
}

/// Whether a body lies on the wall and hardly moves.
pub(crate) fn rests(model: &Model, body: &Body, now: &BodyState) -> bool {
    now.wall.depth_mm - body.rest_mm <= ON_WALL * body.radius_mm && is_slow(model, body, now)
}

/// Whether a body hardly moves.
pub(crate) fn is_slow(model: &Model, body: &Body, now: &BodyState) -> bool {
    length(&now.velocity) <= SLOW * rolling_speed_mm_s(model, body, now)
}

/// Pressure on the loops, mPa, `[canal]`, of a body that does not move by itself, or `None` if it does:
/// one that is fixed to a cupula loads it; the weight of one that a wall holds is the wall's.
pub(crate) fn borne(
    model: &Model,
    body: &Body,
    now: &BodyState,
    pull: Vec3,
) -> Option<Vector3<f64>> {
    if now.fixed_to.is_some() {
        let load = forces::cupula_load(model, body, body.canal, pull);
        return Some(Vector3::ith(body.canal.index(), load));
    }
    if !now.held {
        return None;
    }
    let face = forces::face_near(model.ear_of(body), &now.wall, now.at);
    let on_face = face.is_some_and(|f| {
        f.distance_mm <= body.rest_mm + ON_WALL * body.radius_mm && pull.dot(&f.away) < 0.0
    });
    Some(match now.wall.tube() {
        Some(canal) if on_face => {
            let load = forces::lying_load(model, body, canal, now.at, pull);
            Vector3::ith(canal.index(), load)
        }
        _ => Vector3::zeros(),
    })
}

/// Speed at which a body rolls along a wall under its own weight, mm/s.
fn rolling_speed_mm_s(model: &Model, body: &Body, now: &BodyState) -> f64 {
    let weight = body.buoyant_mass_mg.abs() * model.physics.gravity_mm_s2;
    body.matter.rolling.mobility * weight / now.pieces.resistance_mg_s
}

/// How hard a body is pulled along a surface and away from it, in multiples of its weight at rest.
fn pulled_g(model: &Model, body: &Body, pull: Vec3, away: Vec3) -> f64 {
    let pull = pull * body.buoyant_mass_mg.signum();
    let lift = pull.dot(&away);
    let along = pull - away * lift;
    along.norm().hypot(lift.max(0.0)) / model.physics.gravity_mm_s2
}

/// How hard weight, inertia and the flow pull a body along its wall and away from it, in multiples of
/// its weight at rest. The flow counts as the weight that would move the body as fast.
fn load_g(model: &Model, body: &Body, now: &BodyState, pull: Vec3, flow: &Vector3<f64>) -> f64 {
    let action = forces::action(model, body, &now.pieces, now.at, &now.wall, pull);
    let mobility = forces::mobility(model, body, &now.pieces, &now.wall).along;
    let weight = body.buoyant_mass_mg.abs() * model.physics.gravity_mm_s2;
    let speed_1g = mobility * weight / now.pieces.resistance_mg_s;
    if speed_1g <= 0.0 {
        return 0.0;
    }
    let wanted = action.free(flow);
    let away = now.wall.inward;
    let along = (wanted - away * wanted.dot(&away)).norm() / speed_1g;
    let lift = pull.dot(&away) * body.buoyant_mass_mg.signum() / model.physics.gravity_mm_s2;
    along.hypot(lift.max(0.0))
}

fn touches_one_at_rest(model: &Model, state: &State, i: usize) -> bool {
    let (body, now) = (&model.bodies[i], &state.bodies[i]);
    let near = |(other, its): (&Body, &BodyState)| {
        let reach_mm = TOUCHING * (body.rest_mm + other.rest_mm);
        other.ear == body.ear
            && (its.at - now.at).norm_squared() <= reach_mm * reach_mm
            && (its.held || is_slow(model, other, its))
    };
    let others = model.bodies.iter().zip(&state.bodies).enumerate();
    others.filter(|(j, _)| *j != i).any(|(_, pair)| near(pair))
}
