//! The settling engine: bodies without inertia, moved by the trapezoid rule from a predicted place, with
//! the fluid solved exactly over each step.
//!
//! A body goes on with the velocity that its last two steps foretell. Where that leads, forces are taken
//! once; with those from the start of the step they give the step's pressure on the endolymph, its flow,
//! and the mean velocity, by which the place is put right. How much had to be put right measures the
//! error and sets the length of the next step.

use lithodrome_labyrinth::{Hint, Vec3, WallSample};
use nalgebra::Vector3;

use crate::forces::{self, Action, face_near};
use crate::model::{Body, Drive, Model};
use crate::pace::{self, Gait};
use crate::state::{Grain, State};
use crate::{adhesion, cupula_weight, jam};

/// A resting body is left alone below this speed, mm/s: the way still to go is then below 0.2 µm.
pub(crate) const ASLEEP_MM_S: f64 = 2e-5;
/// A place that was foretold from one velocity alone, or before others pushed, is off by a term of lower
/// order: this share of it counts as error.
pub(crate) const SHARE_OF_GUESS: f64 = 0.02;
/// A place put right by less than this keeps its view of the wall, mm.
pub(crate) const SMALL_MM: f64 = 1e-4;
/// A body that others push off its wall by more than this leaves it, mm.
const LIFTED_MM: f64 = 1e-5;
/// A body is put at its distance from what it touches in so many rounds at most.
pub(crate) const ROUNDS: usize = 4;
/// In the rounding of an edge the depth counts as growing at least so fast.
pub(crate) const LEAST_STEEPNESS: f64 = 0.3;
/// The wall bends over 0.1 mm and more: over this way, mm, only the depth changes, the rest by 1e-5.
pub(crate) const FLAT_MM: f64 = 1e-3;

/// What a body's last steps tell about the next.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Course {
    /// What acts on it where it is, if that is known.
    action: Action,
    known: bool,
    /// Its mean velocity over the last step, mm/s.
    last: Option<Vec3>,
    /// How that changes per second, mm/s².
    bend: Option<Vec3>,
    /// A step is under way, in which others push it.
    under_way: bool,
    pushed: bool,
    /// Where the last one was foretold to lead.
    then: Option<Then>,
}

/// The foretold end of a step.
#[derive(Clone, Copy, Debug)]
struct Then {
    at: Vec3,
    hint: Hint,
    wall: WallSample,
    action: Action,
    /// Whether it has been pressed on the wall and the cupula all the way.
    keep: [bool; 2],
    /// By what it has to be put right, mm.
    lack_mm: Vec3,
}

impl Course {
    /// Where the step under way ends as it has been put right, and what it touches there.
    pub(crate) fn end(&self) -> Option<(Vec3, [Option<Vec3>; 2])> {
        let then = self.then.as_ref().filter(|_| self.under_way)?;
        Some((then.at + then.lack_mm, then.action.walls))
    }

    /// Lets it end elsewhere, pushed there by others.
    pub(crate) fn ends_at(&mut self, at: Vec3) {
        let Some(then) = self.then.as_mut().filter(|_| self.under_way) else {
            return;
        };
        let by_mm = at - then.at - then.lack_mm;
        for (wall, keep) in then.action.walls.into_iter().zip(&mut then.keep) {
            // What lies on others is not pressed on the wall.
            *keep &= wall.is_none_or(|away| by_mm.dot(&away) < LIFTED_MM);
        }
        then.lack_mm += by_mm;
        self.pushed = true;
    }
}

/// The longest step that the present state allows, s.
pub(crate) fn step_limit_s(model: &Model, state: &State, moving: bool) -> f64 {
    let awake = state.grains.iter().filter(|g| moving || !g.asleep);
    let gaits = awake.map(|g| Gait {
        speed_mm_s: g.velocity.norm(),
        radius_mm: g.wall.radius_mm,
        on_wall: g.course.known && g.course.action.walls[0].is_some(),
        foretold: g.course.bend.is_some(),
        jostled: g.course.pushed && !g.wall.alone && g.wall.radius_mm.is_finite(),
    });
    pace::longest_s(model, gaits, moving).min(pace::next_s(model, state.step_s, state.error_mm))
}

/// Advances by `dt_s` from drive `a` to drive `b`; `mid` is the drive half way. `held` says that all
/// three are the same. Returns the number of bodies moved.
pub(crate) fn advance(
    model: &Model,
    state: &mut State,
    drives: [&Drive; 3],
    held: bool,
    dt_s: f64,
) -> u64 {
    let bad_mm = pace::bad_mm(model);
    let (mut done_s, mut step_s, mut moved) = (0.0, dt_s, 0);
    let at_start = state.fluid;
    loop {
        let left_s = dt_s - done_s;
        step_s = pace::part_s(step_s, left_s);
        let shares = [done_s / dt_s, (done_s + step_s) / dt_s];
        let ends = if held {
            [*drives[0]; 2]
        } else {
            shares.map(|share| Drive::between(drives, share))
        };
        let (fluid, flow) = (state.fluid, state.flow);
        moved += try_step(model, state, &ends, held, step_s);
        if state.error_mm > bad_mm && step_s > 2.0 * pace::shortest_s(model) {
            (state.fluid, state.flow) = (fluid, flow);
            step_s = pace::shorter_s(model, step_s);
            continue;
        }
        if done_s == 0.0 {
            let acceleration = Drive::acceleration(drives, 0.0, dt_s);
            for (ear, at_start) in at_start.iter().enumerate() {
                let fluid = jam::fluid(model, &state.plugged, ear);
                let pressure = &state.pressure_mpa[0][ear];
                state.slope[ear][0] = fluid.slope(at_start, pressure, &acceleration);
            }
        }
        accept(model, state, held, step_s);
        if step_s >= left_s {
            break;
        }
        done_s += step_s;
        step_s = pace::next_s(model, step_s, state.error_mm);
    }
    let acceleration = Drive::acceleration(drives, 1.0, dt_s);
    for ear in 0..2 {
        let fluid = jam::fluid(model, &state.plugged, ear);
        let pressure = &state.pressure_mpa[1][ear];
        state.slope[ear][1] = fluid.slope(&state.fluid[ear], pressure, &acceleration);
    }
    moved
}

/// Foretells a step and moves the fluid through it. Returns the number of bodies that move.
fn try_step(model: &Model, state: &mut State, ends: &[Drive; 2], held: bool, dt_s: f64) -> u64 {
    let mut pressure = ends.map(|end| cupula_weight::pressure_mpa(model, &end.pull_mm_s2));
    let mut moved = 0;
    for (body, g) in state.bodies.iter().zip(&mut state.grains) {
        let ear = body.ear.index();
        let pulls = ends.map(|end| end.pull_mm_s2[ear]);
        let borne = pulls.map(|pull| adhesion::borne(model, body, g, pull));
        if let [Some(first), Some(then)] = borne {
            pressure[0][ear] += first;
            pressure[1][ear] += then;
            g.course = Course::default();
            continue;
        }
        if held && g.asleep {
            for of_ears in &mut pressure {
                of_ears[ear] += g.pressure_mpa;
            }
            continue;
        }
        moved += 1;
        let flow = &state.flow[ear];
        foretell(model, body, g, flow, pulls, [state.step_s, dt_s]);
        pressure[0][ear] += g.course.action.pressure_mpa;
        if let Some(then) = &g.course.then {
            pressure[1][ear] += then.action.pressure_mpa;
        }
    }
    let turn = ends[1].turning_rad_s - ends[0].turning_rad_s;
    let [first, then] = &pressure;
    for (ear, (first, then)) in first.iter().zip(then).enumerate() {
        if state.fluid[ear].is_at_rest()
            && turn == Vec3::zeros()
            && [first, then] == [&Vector3::zeros(); 2]
        {
            continue;
        }
        let before = state.fluid[ear].total_mm3();
        let fluid = jam::fluid(model, &state.plugged, ear);
        fluid.step_between(&mut state.fluid[ear], [first, then], &turn, dt_s);
        state.flow[ear] = (state.fluid[ear].total_mm3() - before) / dt_s;
    }
    state.pressure_mpa = pressure;
    state.error_mm = 0.0;
    for (body, g) in state.bodies.iter().zip(&mut state.grains) {
        put_right(g, &state.flow[body.ear.index()], dt_s);
    }
    state
        .crowd
        .part(model, &state.bodies, &mut state.grains, dt_s);
    for g in &state.grains {
        state.error_mm = state.error_mm.max(error_mm(&g.course));
    }
    moved
}

/// Foretells where a body is at the end of a step and takes the forces there.
fn foretell(
    model: &Model,
    body: &Body,
    g: &mut Grain,
    flow: &Vector3<f64>,
    [pull, pull_then]: [Vec3; 2],
    [last_s, dt_s]: [f64; 2],
) {
    if !model.plain || !g.course.known {
        g.course.action = forces::action(model, body, g.at, &g.wall, pull);
        g.course.known = true;
    }
    let first = &g.course.action;
    let mean = match (g.course.last, g.course.bend) {
        (Some(last), Some(bend)) => last + bend * (0.5 * (last_s + dt_s)),
        _ => first.allowed(flow),
    };
    let (mut at, mut hint) = (g.at + mean * dt_s, g.hint);
    let keep = first.pressed(flow);
    let wall = settle(model, body, &mut at, &mut hint, keep);
    (g.course.under_way, g.course.pushed) = (true, false);
    let then = g.course.then.get_or_insert_with(|| Then {
        at,
        hint,
        wall,
        action: Action::default(),
        keep,
        lack_mm: Vec3::zeros(),
    });
    (then.at, then.hint, then.wall, then.keep) = (at, hint, wall, keep);
    then.action = forces::action(model, body, at, &then.wall, pull_then);
}

/// Works out by what a foretold place has to be put right, now that the step's flow is known.
fn put_right(g: &mut Grain, flow: &Vector3<f64>, dt_s: f64) {
    let Course {
        action: first,
        then: Some(then),
        under_way: true,
        ..
    } = &mut g.course
    else {
        return;
    };
    let mean = 0.5 * (first.allowed(flow) + then.action.allowed(flow));
    let mut lack_mm = g.at + mean * dt_s - then.at;
    if let ([Some(wall), Some(face)], [true, true]) = (then.action.walls, then.keep) {
        lack_mm = forces::in_corner(lack_mm, wall, face);
    } else {
        for (wall, keep) in then.action.walls.into_iter().zip(then.keep) {
            if let Some(away) = wall {
                let leaves = lack_mm.dot(&away);
                if keep || leaves < 0.0 {
                    lack_mm -= away * leaves;
                }
            }
        }
    }
    let roll_per_s = then.action.roll_per_s;
    if roll_per_s > 0.0 {
        let across = then.wall.inward.cross(&then.wall.tangent);
        let by = lack_mm.dot(&across) / across.norm_squared();
        let rolled = by / (1.0 + 0.5 * dt_s * roll_per_s);
        lack_mm -= across * (by - rolled);
        let change = across * (rolled * roll_per_s);
        then.action.sinking -= change;
        then.action.drift -= change;
    }
    then.lack_mm = lack_mm;
}

/// How wrong a place was foretold, mm.
fn error_mm(course: &Course) -> f64 {
    match &course.then {
        Some(then) if course.under_way => {
            let guessed = course.bend.is_none() || course.pushed;
            then.lack_mm.norm() * if guessed { SHARE_OF_GUESS } else { 1.0 }
        }
        _ => 0.0,
    }
}

/// Ends a step that is good enough.
fn accept(model: &Model, state: &mut State, held: bool, dt_s: f64) {
    for (body, g) in state.bodies.iter().zip(&mut state.grains) {
        if std::mem::take(&mut g.course.under_way) {
            arrive(model, body, g, held, [state.step_s, dt_s]);
        }
    }
    state.crowd.accept(&mut state.grains, dt_s);
    state.step_s = dt_s;
}

fn arrive(model: &Model, body: &Body, g: &mut Grain, held: bool, [last_s, dt_s]: [f64; 2]) {
    let course = &mut g.course;
    let Some(then) = &mut course.then else {
        return;
    };
    let from = g.at;
    (g.at, g.hint, g.wall) = (then.at + then.lack_mm, then.hint, then.wall);
    if then.lack_mm.norm_squared() > SMALL_MM * SMALL_MM {
        g.wall = settle(model, body, &mut g.at, &mut g.hint, then.keep);
    }
    g.velocity = (g.at - from) / dt_s;
    g.pressure_mpa = then.action.pressure_mpa;
    g.asleep = held && g.velocity.norm_squared() < ASLEEP_MM_S * ASLEEP_MM_S;
    let touched = |a: &Action| a.walls.map(|w| w.is_some());
    let as_before = touched(&course.action) == touched(&then.action);
    let last = course.last.filter(|_| as_before && !g.asleep);
    let between_s = 0.5 * (last_s + dt_s);
    course.bend = last.map(|last| (g.velocity - last) / between_s);
    course.last = (as_before && !g.asleep).then_some(g.velocity);
    course.known = !g.asleep;
    std::mem::swap(&mut course.action, &mut then.action);
}

/// Puts a body at its rest distance from the wall and the cupula that it is too deep in, and from those
/// that `keep` names: one that is pressed on a wall rolls along it however it bends, and what a straight
/// step has left between them is taken away.
fn settle(
    model: &Model,
    body: &Body,
    at: &mut Vec3,
    hint: &mut Hint,
    keep: [bool; 2],
) -> WallSample {
    let ear = model.ear_of(body);
    let mut wall = ear.wall(*at, hint);
    for _ in 0..ROUNDS {
        let wanted = |lack: f64, keep: bool| lack > 0.0 || (keep && lack > -body.radius_mm);
        let face = face_near(ear, &wall, *at)
            .map(|face| (face.away, body.rest_mm - face.distance_mm))
            .filter(|&(_, lack)| wanted(lack, keep[1]));
        let steepness = wall.steepness.max(LEAST_STEEPNESS);
        let lack = body.rest_mm - wall.depth_mm;
        let side = wanted(lack, keep[0]).then_some((wall.inward, lack / steepness));
        let shift = match (side, face) {
            (None, None) => break,
            (Some((away, by)), None) | (None, Some((away, by))) => away * by,
            (Some(side), Some(face)) => into_corner(side, face),
        };
        let size = shift.norm();
        if size == 0.0 {
            break;
        }
        *at += shift;
        if size < FLAT_MM {
            wall.depth_mm += shift.dot(&wall.inward) * wall.steepness;
            break;
        }
        wall = ear.wall(*at, hint);
    }
    wall
}

/// The shift that goes by both distances along both normals at once.
fn into_corner((a, by_a): (Vec3, f64), (b, by_b): (Vec3, f64)) -> Vec3 {
    let cos = a.dot(&b);
    let sin2 = (1.0 - cos * cos).max(0.05);
    a * ((by_a - cos * by_b) / sin2) + b * ((by_b - cos * by_a) / sin2)
}
