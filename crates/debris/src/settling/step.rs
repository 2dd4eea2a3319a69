//! One step of the settling engine: bodies without inertia, moved by the trapezoid rule from a predicted
//! place, with the fluid solved exactly over the step.
//!
//! Where the prediction leads, forces are taken once; with those from the start of the step they give the
//! step's pressure on the endolymph, its flow, and the mean velocity, by which the place is corrected. How
//! much had to be corrected measures the error and sets the length of the next step.

use lithodrome_labyrinth::Vec3;
use nalgebra::Vector3;

use super::body_memory::BodyMemory;
use super::correct::{arrive, correct, error_mm};
use super::memory::Memory;
use super::predict::predict;
use super::step_size;
use crate::law::jam::Plugged;
use crate::law::{adhesion, cupula_weight};
use crate::model::endolymph::Displacement;
use crate::model::{Drive, Model};
use crate::state::{State, Stepped};

/// Advances by `dt_s` under the drives at the start, half way and at the end; `held` says that all three
/// are the same.
pub(crate) fn advance(
    model: &Model,
    state: &mut State,
    memory: &mut Memory,
    plugged: &Plugged,
    drives: [&Drive; 3],
    held: bool,
    dt_s: f64,
) -> Stepped {
    let bad_mm = step_size::bad_mm(model);
    let (mut done_s, mut part_s, mut moved) = (0.0, dt_s, 0);
    let at_start = state.fluid;
    let slope = |fluid: &[Displacement; 2], memory: &Memory, end: usize| {
        let acceleration = Drive::acceleration(drives, end as f64, dt_s);
        [0, 1].map(|ear| {
            let pressure = &memory.pressure_mpa[end][ear];
            let own = plugged.fluid(model, ear);
            own.slope(&fluid[ear], pressure, &acceleration)
        })
    };
    let mut first_slope = [Displacement::rest(); 2];
    loop {
        let left_s = dt_s - done_s;
        part_s = step_size::part_s(part_s, left_s);
        let shares = [done_s / dt_s, (done_s + part_s) / dt_s];
        let ends = if held {
            [*drives[0]; 2]
        } else {
            shares.map(|share| Drive::between(drives, share))
        };
        let (fluid, flow) = (state.fluid, state.flow);
        moved += try_step(model, state, memory, plugged, &ends, held, part_s);
        if memory.error_mm > bad_mm && part_s > 2.0 * step_size::shortest_s(model) {
            (state.fluid, state.flow) = (fluid, flow);
            part_s = step_size::shorter_s(model, part_s);
            continue;
        }
        if done_s == 0.0 {
            first_slope = slope(&at_start, memory, 0);
        }
        accept(model, state, memory, held, part_s);
        if part_s >= left_s {
            break;
        }
        done_s += part_s;
        part_s = step_size::next_s(model, part_s, memory.error_mm);
    }
    let last_slope = slope(&state.fluid, memory, 1);
    Stepped {
        moved,
        slope: [0, 1].map(|ear| [first_slope[ear], last_slope[ear]]),
    }
}

/// Predicts a step, moves the fluid through it and corrects. Returns the number of bodies that move.
fn try_step(
    model: &Model,
    state: &mut State,
    memory: &mut Memory,
    plugged: &Plugged,
    ends: &[Drive; 2],
    held: bool,
    dt_s: f64,
) -> u64 {
    let mut pressure = ends.map(|end| cupula_weight::pressure_mpa(model, &end.pull_mm_s2));
    let mut moved = 0;
    let bodies = model.bodies.iter().zip(&state.bodies);
    for ((body, now), its) in bodies.zip(&mut memory.bodies) {
        let ear = body.ear.index();
        let pulls = ends.map(|end| end.pull_mm_s2[ear]);
        let borne = pulls.map(|pull| adhesion::borne(model, body, now, pull));
        if let [Some(first), Some(last)] = borne {
            pressure[0][ear] += first;
            pressure[1][ear] += last;
            *its = BodyMemory::default();
            continue;
        }
        if held && its.asleep {
            for of_ears in &mut pressure {
                of_ears[ear] += its.pressure_mpa;
            }
            continue;
        }
        moved += 1;
        let flow = &state.flow[ear];
        predict(model, body, now, its, flow, pulls, [memory.last_s, dt_s]);
        pressure[0][ear] += its.action.pressure(flow);
        if let Some(end) = &its.predicted {
            pressure[1][ear] += end.action.pressure(flow);
        }
    }
    move_fluid(model, state, plugged, &pressure, ends, dt_s);
    memory.pressure_mpa = pressure;
    let bodies = model.bodies.iter().zip(&state.bodies);
    for ((body, now), its) in bodies.zip(&mut memory.bodies) {
        correct(now, its, &state.flow[body.ear.index()], dt_s);
    }
    let Memory {
        contacts, bodies, ..
    } = memory;
    contacts.part(model, &state.bodies, bodies, dt_s);
    memory.error_mm = memory.bodies.iter().map(error_mm).fold(0.0, f64::max);
    moved
}

/// Moves endolymph and cupulae of both ears, and tells the mean flow.
fn move_fluid(
    model: &Model,
    state: &mut State,
    plugged: &Plugged,
    [first, last]: &[[Vector3<f64>; 2]; 2],
    ends: &[Drive; 2],
    dt_s: f64,
) {
    let turn = ends[1].turning_rad_s - ends[0].turning_rad_s;
    for (ear, (first, last)) in first.iter().zip(last).enumerate() {
        if state.fluid[ear].is_at_rest()
            && turn == Vec3::zeros()
            && [first, last] == [&Vector3::zeros(); 2]
        {
            continue;
        }
        let before = state.fluid[ear].total_mm3();
        let own = plugged.fluid(model, ear);
        own.step_between(&mut state.fluid[ear], [first, last], &turn, dt_s);
        state.flow[ear] = (state.fluid[ear].total_mm3() - before) / dt_s;
    }
}

/// Ends a step that is good enough.
fn accept(model: &Model, state: &mut State, memory: &mut Memory, held: bool, dt_s: f64) {
    let bodies = model.bodies.iter().zip(&mut state.bodies);
    for ((body, now), its) in bodies.zip(&mut memory.bodies) {
        if std::mem::take(&mut its.under_way) {
            arrive(model, body, now, its, held, [memory.last_s, dt_s]);
        }
    }
    memory.contacts.accept(&mut memory.bodies, dt_s);
    memory.last_s = dt_s;
}
