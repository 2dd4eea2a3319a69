//! A clump as wide as the duct: the wall holds it, and it carries no flow.

use std::f64::consts::PI;

use nalgebra::Matrix3;

use crate::endolymph::{Endolymph, loops_through};
use crate::forces;
use crate::model::{Body, Model};
use crate::state::{Grain, State};
use lithodrome_labyrinth::{Ear, Vec3};

/// From this share of the lumen's radius on a body is jammed (assumed: a duct is neither as round nor
/// as smooth as a clump that wide would need).
pub(crate) const TIGHT: f64 = 0.97;
/// How far ahead a jammed body is looked after, mm, and by which share the lumen must be wider there to
/// set it free.
const AHEAD_MM: f64 = 0.05;
const WIDER: f64 = 1e-3;
/// A held body whose resistance to the flow is below this share of the duct's is left out.
const SMALL: f64 = 1e-4;

/// Whether a body is as wide as the lumen where it is.
pub(crate) fn is_tight(body: &Body, g: &Grain) -> bool {
    body.fixed_to.is_none() && body.rest_mm >= TIGHT * g.wall.radius_mm
}

/// Before a step: holds jammed bodies and works out what held bodies leave of the flow.
pub(crate) fn update(model: &Model, state: &mut State, pulls_mm_s2: [Vec3; 2]) {
    let mut added = [Matrix3::zeros(); 2];
    for (body, g) in state.bodies.iter_mut().zip(&mut state.grains) {
        let tight = is_tight(body, g);
        if tight {
            body.held = !wider_ahead(model, body, g, pulls_mm_s2[body.ear.index()]);
        } else if g.jammed {
            body.held = false;
        }
        g.jammed = tight && body.held;
        if g.jammed {
            g.velocity = Vec3::zeros();
            g.asleep = true;
        }
        if body.held {
            added[body.ear.index()] += resistance(model, body, g);
        }
    }
    for ear in Ear::ALL {
        let added = added[ear.index()];
        let own = model.fluid(ear);
        let plugged = &mut state.plugged[ear.index()];
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

/// The fluid of an ear as the held bodies leave it.
pub(crate) fn fluid<'a>(
    model: &'a Model,
    plugged: &'a [Option<Box<Endolymph>>; 2],
    ear: usize,
) -> &'a Endolymph {
    plugged[ear].as_deref().unwrap_or(&model.fluid[ear])
}

/// What a held body adds to the resistance of the loops, mPa·s/mm³, `[canal][canal]`.
///
/// # Equation
/// r = β²ζ / (M A²): the flow Q would carry the body at βQ/A; not to go it needs the force ζβQ/(MA),
/// which presses βF/A on the flow (reciprocity). On the axis this is β·12πμa K2/A².
fn resistance(model: &Model, body: &Body, g: &Grain) -> Matrix3<f64> {
    if g.wall.radius_mm.is_infinite() {
        return Matrix3::zeros();
    }
    let m = forces::mobility(&model.drag, body, &g.wall);
    let area = PI * g.wall.radius_mm * g.wall.radius_mm;
    let r = (m.entrainment / area).powi(2) * body.resistance_mg_s / m.along;
    let loops = loops_through(model.ear_of(body), g.wall.region, g.wall.arc_mm);
    loops * loops.transpose() * r
}

/// Whether the weight pulls a body toward a wider lumen.
fn wider_ahead(model: &Model, body: &Body, g: &Grain, pull: Vec3) -> bool {
    let Some(canal) = g.wall.tube() else {
        return true;
    };
    let toward = (pull.dot(&g.wall.tangent) * body.buoyant_mass_mg).signum();
    let ahead = model
        .ear_of(body)
        .tube(canal)
        .at(g.wall.arc_mm + toward * AHEAD_MM);
    ahead.2 > g.wall.radius_mm * (1.0 + WIDER)
}
