//! The bodies in rapier3d's world, and one step of it.
//!
//! Nothing here has momentum. Each step gives every body the velocity that the law of forces wants, and
//! its Stokes resistance as mass. rapier then finds the velocities nearest to those (in the sense of
//! Σ ζ (v − v_wanted)²) that no contact forbids, which is what resistance and contact forces in balance
//! mean: two bodies in contact move at (F1 + F2) / (ζ1 + ζ2).

use lithodrome_labyrinth::Vec3;
use rapier3d_f64::dynamics::SpringCoefficients;
use rapier3d_f64::prelude::{
    IntegrationParameters, PhysicsWorld, RigidBodyHandle, RigidBodyType, Vector,
};

use super::hull;
use super::vectors::{from_rapier, to_rapier};
use super::walls::{self, Walls};
use crate::error::SimulateError;
use crate::law::jam::Plugged;
use crate::law::{adhesion, cupula_weight, forces};
use crate::model::{Body, Drive, Model};
use crate::state::{BodyState, State, Stepped};

/// The usual step, s, and the longest while every body goes at most a share of its radius per step.
const STEP_S: f64 = 1.0 / 240.0;
const CALM_STEP_S: f64 = 0.01;
const FIRST_STEP_S: f64 = 0.001;
const CALM_SHARE_OF_RADIUS: f64 = 0.1;
/// No body goes farther per step than this share of the lumen's radius.
const SHARE_OF_LUMEN: f64 = 0.25;
/// Contacts are foreseen at least this far, mm, and as far as the fastest body goes in 1.5 steps.
const LEAST_REACH_MM: f64 = 2e-4;
const REACH_STEPS: f64 = 1.5;
/// Within this share of the radius from rest a pressed body hands its whole weight to the wall.
const BEARING: f64 = 1e-3;
/// From more bodies than this on contacts are solved in more rounds: a heap that lands would else press
/// its lowest bodies 2 to 3 µm into the wall.
const HEAP: usize = 50;
/// Damping ratio of contacts and the share of an overlap that is undone per step.
const DAMPING: f64 = 10.0;
const UNDONE: f64 = 0.5;
/// Overlapping bodies part at most this fast, mm/s.
const PARTING_MM_S: f64 = 1.0;
/// rapier's lengths of reference, mm: all of its tolerances are shares of it.
const LENGTH_MM: f64 = 0.01;

/// rapier's side of a run.
pub(crate) struct World {
    rapier: PhysicsWorld,
    /// One per body.
    handles: Vec<RigidBodyHandle>,
    radii_mm: Vec<f64>,
    /// Nothing has moved yet, so that no speed is known.
    fresh: bool,
}

impl World {
    pub(crate) fn new(model: &Model, state: &State) -> World {
        let mut rapier = PhysicsWorld::new();
        rapier.gravity = Vector::ZERO;
        rapier.integration_parameters = settings(model.bodies.len());
        for wall in walls::colliders(model) {
            rapier.insert_collider(wall, None);
        }
        let handles = model
            .bodies
            .iter()
            .zip(&state.bodies)
            .enumerate()
            .map(|(i, (body, g))| hull::insert(&mut rapier, i, body, g))
            .collect();
        let radii_mm = model.bodies.iter().map(|body| body.radius_mm).collect();
        World {
            rapier,
            handles,
            radii_mm,
            fresh: true,
        }
    }

    /// The longest step that the present state allows, s.
    pub(crate) fn step_limit_s(&self, state: &State) -> f64 {
        let mut limit = if self.fresh {
            FIRST_STEP_S
        } else {
            CALM_STEP_S
        };
        for (g, radius_mm) in state.bodies.iter().zip(&self.radii_mm) {
            let speed = g.velocity.norm().max(1e-9);
            let calm = CALM_SHARE_OF_RADIUS * radius_mm / speed;
            let room = SHARE_OF_LUMEN * g.wall.radius_mm.min(1.0) / speed;
            limit = limit.min(calm.max(STEP_S)).min(room);
        }
        limit
    }

    /// Advances by `dt_s` to `time_s`, from drive `a` to drive `b`; `mid` is the drive half way.
    pub(crate) fn advance(
        &mut self,
        model: &Model,
        state: &mut State,
        plugged: &Plugged,
        [a, mid, b]: [&Drive; 3],
        dt_s: f64,
        time_s: f64,
    ) -> Result<Stepped, SimulateError> {
        let mut pressure = cupula_weight::pressure_mpa(model, &mid.pull_mm_s2);
        self.fresh = false;
        let mut fastest: f64 = 0.0;
        let mut moved = 0;
        for ((body, now), handle) in model.bodies.iter().zip(&state.bodies).zip(&self.handles) {
            let ear = body.ear.index();
            let pull = mid.pull_mm_s2[ear];
            let borne = adhesion::borne(model, body, now, pull);
            if let Some(mover) = self.rapier.bodies.get_mut(*handle) {
                let kind = match borne {
                    Some(_) => RigidBodyType::Fixed,
                    None => RigidBodyType::Dynamic,
                };
                mover.set_body_type(kind, true);
            }
            if let Some(borne) = borne {
                pressure[ear] += borne;
                continue;
            }
            let half = halfway(model, body, now, dt_s);
            let action = forces::action(model, body, &now.pieces, half.at, &half.wall, pull);
            pressure[ear] += action.pressure(&state.flow[ear]);
            let wanted = action.free(&state.flow[ear]) + bearing(model, body, &half, pull);
            fastest = fastest.max(wanted.norm());
            if let Some(mover) = self.rapier.bodies.get_mut(*handle) {
                mover.set_linvel(to_rapier(wanted), true);
                mover.set_angvel(Vector::ZERO, false);
            }
            moved += 1;
        }
        let turn = b.turning_rad_s - a.turning_rad_s;
        let before = state.fluid;
        let slope = [0, 1].map(|ear| {
            let own = plugged.fluid(model, ear);
            own.step(&mut state.fluid[ear], &pressure[ear], &turn, dt_s);
            let slope = state.fluid[ear].less(&before[ear], dt_s);
            state.flow[ear] = slope.total_mm3();
            [slope; 2]
        });
        self.step(model, &state.bodies, fastest, dt_s, time_s)?;
        let bodies = model.bodies.iter().zip(&mut state.bodies);
        for ((body, now), handle) in bodies.zip(&self.handles) {
            if let Some(mover) = self.rapier.bodies.get(*handle).filter(|m| m.is_dynamic()) {
                let at = from_rapier(mover.translation());
                now.velocity = (at - now.at) / dt_s;
                now.at = at;
                now.wall = model.ear_of(body).wall(at, &mut now.hint);
            }
        }
        Ok(Stepped { moved, slope })
    }

    fn step(
        &mut self,
        model: &Model,
        bodies: &[BodyState],
        fastest_mm_s: f64,
        dt_s: f64,
        time_s: f64,
    ) -> Result<(), SimulateError> {
        let reach_mm = LEAST_REACH_MM.max(REACH_STEPS * fastest_mm_s * dt_s);
        let params = &mut self.rapier.integration_parameters;
        params.dt = dt_s;
        params.normalized_prediction_distance = reach_mm / LENGTH_MM;
        params.contact_softness = softness(dt_s);
        params.static_contact_softness = softness(dt_s);
        self.rapier.step_with_events(
            &Walls {
                model,
                bodies,
                reach_mm,
            },
            &(),
        );
        let lost = self.rapier.quarantine();
        if lost.is_empty() {
            return Ok(());
        }
        Err(SimulateError::Lost {
            bodies: lost.bodies().len().max(lost.colliders().len()),
            time_s,
        })
    }
}

/// The body where its last velocity takes it in half a step: forces taken there are right to second
/// order over the whole step, where those at the start would be late by half of it.
fn halfway(model: &Model, body: &Body, now: &BodyState, dt_s: f64) -> BodyState {
    let mut half = *now;
    half.at += now.velocity * (0.5 * dt_s);
    half.wall = model.ear_of(body).wall(half.at, &mut half.hint);
    half
}

/// What a body that presses on its wall wants to go faster toward it than lubrication lets it: the film
/// does not carry it any more, the wall does, and friction feels the whole force.
fn bearing(model: &Model, body: &Body, now: &BodyState, pull: Vec3) -> Vec3 {
    let wall = &now.wall;
    let into = pull.dot(&wall.inward) * body.buoyant_mass_mg / now.pieces.resistance_mg_s;
    if into >= 0.0 || wall.depth_mm > body.rest_mm + BEARING * body.radius_mm {
        return Vec3::zeros();
    }
    let m = forces::mobility(model, body, &now.pieces, wall);
    wall.inward * (into * (m.along - m.across))
}

fn settings(bodies: usize) -> IntegrationParameters {
    IntegrationParameters {
        length_unit: LENGTH_MM,
        num_solver_iterations: 1,
        num_internal_pgs_iterations: if bodies > HEAP { 16 } else { 4 },
        num_internal_stabilization_iterations: 1,
        warmstart_coefficient: 1.0,
        friction_in_bias_pass: true,
        contact_recycling: false,
        contact_clustering: false,
        max_ccd_substeps: 0,
        normalized_max_corrective_velocity: PARTING_MM_S / LENGTH_MM,
        normalized_max_linear_velocity: f64::MAX,
        ..IntegrationParameters::default()
    }
}

/// The stiffness for which a step of this length undoes the share [`UNDONE`] of an overlap. A fixed
/// stiffness would let bodies sink through the wall, faster the shorter the step.
fn softness(dt_s: f64) -> SpringCoefficients<f64> {
    let omega = 2.0 * DAMPING * UNDONE / (1.0 - UNDONE) / dt_s;
    SpringCoefficients::new(omega / std::f64::consts::TAU, DAMPING)
}
