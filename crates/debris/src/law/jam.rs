//! A clump as wide as the duct: the wall holds it, and it carries no flow.

use std::f64::consts::PI;

use nalgebra::Matrix3;

use super::forces;
use crate::model::endolymph::{Endolymph, loops_through};
use crate::model::{Body, Model, TIGHT};
use crate::state::{BodyState, State};
use lithodrome_labyrinth::{Ear, Vec3};

/// How far ahead a jammed body is looked after, mm, and by which share the lumen must be wider there to
/// set it free.
const AHEAD_MM: f64 = 0.05;
const WIDER: f64 = 1e-3;
/// A held body whose resistance to the flow is below this share of the duct's is left out.
const SMALL: f64 = 1e-4;

/// Whether a body is as wide as the lumen where it is.
pub(crate) fn is_tight(body: &Body, now: &BodyState) -> bool {
    now.fixed_to.is_none() && body.rest_mm >= TIGHT * now.wall.radius_mm
}

/// The fluid of an ear in which held bodies hinder the flow, `[ear]`.
#[derive(Clone, Debug, Default)]
pub(crate) struct Plugged([Option<Box<Endolymph>>; 2]);

impl Plugged {
    /// The fluid of an ear as the held bodies leave it.
    pub(crate) fn fluid<'a>(&'a self, model: &'a Model, ear: usize) -> &'a Endolymph {
        self.0[ear].as_deref().unwrap_or(&model.fluid[ear])
    }
}

/// Before a step: holds jammed bodies and works out what held bodies leave of the flow.
pub(crate) fn update(
    model: &Model,
    state: &mut State,
    plugged: &mut Plugged,
    pulls_mm_s2: [Vec3; 2],
) {
    let mut added = [Matrix3::zeros(); 2];
    for (body, now) in model.bodies.iter().zip(&mut state.bodies) {
        let tight = is_tight(body, now);
        if tight {
            now.held = !wider_ahead(model, body, now, pulls_mm_s2[body.ear.index()]);
        } else if now.jammed {
            now.held = false;
        }
        now.jammed = tight && now.held;
        if now.jammed {
            now.velocity = Vec3::zeros();
        }
        if now.held {
            added[body.ear.index()] += resistance(model, body, now);
        }
    }
    for ear in Ear::ALL {
        let added = added[ear.index()];
        let own = model.fluid(ear);
        let plugged = &mut plugged.0[ear.index()];
        if added.amax() <= SMALL * own.resistance.diagonal().min() {
            *plugged = None;
            continue;
        }
        let stale = plugged
            .as_ref()
            .is_none_or(|p| (p.resistance - own.resistance - added).amax() > 1e-9 * added.amax());
        if stale {
            *plugged = Some(Box::new(own.with_resistance(added)));
        }
    }
}

/// What a held body adds to the resistance of the loops, mPa·s/mm³, `[canal][canal]`.
///
/// # Equation
/// r = β²ζ / (M A²): the flow Q would carry the body at βQ/A; not to go it needs the force ζβQ/(MA),
/// which presses βF/A on the flow (reciprocity). On the axis this is β·12πμa K2/A².
fn resistance(model: &Model, body: &Body, now: &BodyState) -> Matrix3<f64> {
    if now.wall.radius_mm.is_infinite() {
        return Matrix3::zeros();
    }
    let m = forces::mobility(model, body, &now.pieces, &now.wall);
    let area = PI * now.wall.radius_mm * now.wall.radius_mm;
    let r = (m.entrainment / area).powi(2) * now.pieces.resistance_mg_s / m.along;
    let loops = loops_through(model.ear_of(body), now.wall.region, now.wall.arc_mm);
    loops * loops.transpose() * r
}

/// Whether the weight pulls a body toward a wider lumen.
fn wider_ahead(model: &Model, body: &Body, now: &BodyState, pull: Vec3) -> bool {
    let Some(canal) = now.wall.tube() else {
        return true;
    };
    let toward = (pull.dot(&now.wall.tangent) * body.buoyant_mass_mg).signum();
    let ahead = model
        .ear_of(body)
        .tube(canal)
        .at(now.wall.arc_mm + toward * AHEAD_MM);
    ahead.2 > now.wall.radius_mm * (1.0 + WIDER)
}
