//! The settling engine: bodies without inertia, moved by the midpoint rule, fluid exact per step.

use lithodrome_labyrinth::Vec3;

use crate::forces::{self, face_near};
use crate::model::{Body, Drive, Model};
use crate::state::{Grain, Half, State};
use crate::{adhesion, cupula_weight, jam};

/// A resting body is left alone below this speed, mm/s: the way still to go is then below 0.2 µm.
const ASLEEP_MM_S: f64 = 2e-5;
/// Farthest that a body goes in one step, as a share of the lumen's radius.
const SHARE_OF_RADIUS: f64 = 0.1;
/// Longest step while the chair moves, while a body is on its way, while one creeps, and at rest, s.
const LONGEST_S: [f64; 4] = [0.02, 0.04, 0.1, 0.5];
/// A body slower than this creeps, mm/s.
const CREEPING_MM_S: f64 = 0.01;

/// The longest step that the present state allows, s.
pub(crate) fn step_limit_s(model: &Model, state: &State, moving: bool) -> f64 {
    let mut limit = if moving { LONGEST_S[0] } else { LONGEST_S[3] };
    for g in state.grains.iter().filter(|g| moving || !g.asleep) {
        let speed = g.velocity.norm();
        let way = if speed < CREEPING_MM_S {
            LONGEST_S[2]
        } else {
            LONGEST_S[1]
        };
        let room = g.wall.radius_mm.min(0.5);
        limit = limit
            .min(way)
            .min((SHARE_OF_RADIUS * room / speed.max(1e-9)).max(0.001));
    }
    limit * model.step_scale
}

/// Advances by `dt_s` from drive `a` to drive `b`; `mid` is the drive half way. `held` says that all
/// three are the same. Returns the number of bodies moved.
pub(crate) fn advance(
    model: &Model,
    state: &mut State,
    [a, mid, b]: [&Drive; 3],
    held: bool,
    dt_s: f64,
) -> u64 {
    let mut pressure = cupula_weight::pressure_mpa(model, &mid.pull_mm_s2);
    let mut moved = 0;
    for (body, g) in state.bodies.iter().zip(&mut state.grains) {
        let ear = body.ear.index();
        let pull = mid.pull_mm_s2[ear];
        if let Some(borne) = adhesion::borne(model, body, g, pull) {
            pressure[ear] += borne;
            continue;
        }
        if held && g.asleep {
            pressure[ear] += g.pressure_mpa;
            continue;
        }
        moved += 1;
        let first = forces::action(model, body, g.at, &g.wall, a.pull_mm_s2[ear]);
        let mut half = g.at + first.allowed(&state.flow[ear]) * (0.5 * dt_s);
        let wall = settle_on_wall(model, body, &mut half, &mut g.hint);
        let action = forces::action(model, body, half, &wall, pull);
        pressure[ear] += action.pressure_mpa;
        g.pressure_mpa = action.pressure_mpa;
        let landed = (0..2).any(|i| action.walls[i].is_some() && first.walls[i].is_none());
        g.half = Some(Half {
            action,
            landed_at: landed.then_some(half),
        });
    }
    let turn = b.turning_rad_s - a.turning_rad_s;
    for (ear, pressure_mpa) in pressure.iter().enumerate() {
        let before = state.fluid[ear].total_mm3();
        let fluid = jam::fluid(model, &state.plugged, ear);
        fluid.step(&mut state.fluid[ear], pressure_mpa, &turn, dt_s);
        state.flow[ear] = (state.fluid[ear].total_mm3() - before) / dt_s;
    }
    for (body, g) in state.bodies.iter().zip(&mut state.grains) {
        if let Some(half) = g.half.take() {
            let v = half.action.allowed(&state.flow[body.ear.index()]);
            // A body that lands half way goes on from there: its contact holds only from then on.
            let to = match half.landed_at {
                Some(landed) => landed + v * (0.5 * dt_s),
                None => g.at + v * dt_s,
            };
            carry(model, body, g, to, held, dt_s);
        }
    }
    moved
}

/// Moves one body and puts it back where the walls allow.
fn carry(model: &Model, body: &Body, g: &mut Grain, to: Vec3, held: bool, dt_s: f64) {
    let from = g.at;
    g.at = to;
    g.wall = settle_on_wall(model, body, &mut g.at, &mut g.hint);
    g.velocity = (g.at - from) / dt_s;
    g.asleep = held && g.velocity.norm() < ASLEEP_MM_S;
}

/// Pushes a body that is too deep in a wall or a cupula out to its rest distance.
pub(crate) fn settle_on_wall(
    model: &Model,
    body: &Body,
    at: &mut Vec3,
    hint: &mut lithodrome_labyrinth::Hint,
) -> lithodrome_labyrinth::WallSample {
    let ear = model.ear_of(body);
    let mut wall = ear.wall(*at, hint);
    for _ in 0..4 {
        let mut shift = Vec3::zeros();
        if let Some(face) = face_near(ear, &wall, *at) {
            let lack = body.rest_mm - face.distance_mm;
            if lack > 0.0 {
                shift += face.away * lack;
            }
        }
        let lack = body.rest_mm - wall.depth_mm;
        if lack > 0.0 {
            shift += wall.inward * (lack / wall.steepness.max(0.3));
        }
        let size = shift.norm();
        if size == 0.0 {
            break;
        }
        *at += shift;
        if size < 1e-3 {
            // The wall bends over 0.1 mm and more: over 1 µm only the depth changes, the rest by 1e-5.
            wall.depth_mm += shift.dot(&wall.inward) * wall.steepness;
            break;
        }
        wall = ear.wall(*at, hint);
    }
    wall
}
