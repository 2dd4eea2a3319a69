//! The one law of forces, shared by both engines: how a body moves where it is, and what it does to the
//! cupula there.
//!
//! `v = M W/ζ + β Q t/A` and `ΔP = β W·t/A` with the same β (reciprocity), W the buoyant weight in the
//! gravito-inertial field, ζ = 6πμa, Q the flow through the lumen's area A, t its tangent.

use lithodrome_labyrinth::{Canal, EarShape, Region, Vec3, WallSample};
use nalgebra::Vector3;

use crate::drag::{DragTable, Mobility};
use crate::endolymph::loops_through;
use crate::model::{Body, Model};

/// Within this share of the radius from its rest distance a body counts as touching.
const TOUCH: f64 = 1e-6;
/// Within this share a pressed body feels friction.
const GRIP: f64 = 2e-3;

/// What acts on one body at one place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Action {
    /// Velocity without regard to contacts, mm/s.
    pub(crate) free: Vec3,
    /// Velocity that respects the contacts, mm/s.
    pub(crate) allowed: Vec3,
    /// Pressure on the loops, mPa, `[canal]`.
    pub(crate) pressure_mpa: Vector3<f64>,
}

/// The near face of a cupula as seen by a body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Face {
    /// Unit normal away from the cupula.
    pub(crate) away: Vec3,
    /// Distance of the body's centre from the face, mm.
    pub(crate) distance_mm: f64,
}

/// The cupula of the ampulla that the body is in, if it is in one.
pub(crate) fn face_near(ear: &EarShape, wall: &WallSample, at: Vec3) -> Option<Face> {
    let canal = match wall.region {
        Region::Duct(c) | Region::ShortArm(c) => c,
        Region::CommonCrus | Region::Utricle => return None,
    };
    if wall.arc_mm.abs() > 1.2 {
        return None;
    }
    let cupula = &ear.canal(canal).cupula;
    let along = (at - cupula.centre_in_reid_mm).dot(&cupula.to_duct_in_reid);
    let side = if wall.arc_mm >= 0.0 { 1.0 } else { -1.0 };
    Some(Face {
        away: cupula.to_duct_in_reid * side,
        distance_mm: along * side - cupula.thickness_mm / 2.0,
    })
}

/// Ratios at a place.
pub(crate) fn mobility(drag: &DragTable, body: &Body, wall: &WallSample) -> Mobility {
    let delta = (wall.depth_mm - body.radius_mm) / body.radius_mm;
    if wall.radius_mm.is_infinite() {
        return Mobility { entrainment: 0.0, ..drag.at(0.0, 0.0, delta) };
    }
    drag.at(body.radius_mm / wall.radius_mm, wall.off_axis_mm / wall.radius_mm, delta)
}

/// What acts on a free body at `at`; `pull` is gravity less the ear's acceleration, mm/s², `flow` the
/// flow of each loop, mm³/s.
pub(crate) fn action(
    model: &Model,
    body: &Body,
    at: Vec3,
    wall: &WallSample,
    pull: Vec3,
    flow: &Vector3<f64>,
) -> Action {
    let ear = model.ear_of(body);
    let m = mobility(&model.drag, body, wall);
    let weight = pull * body.buoyant_mass_mg;
    let drift = weight / body.resistance_mg_s;
    let (into, along) = split(drift, wall.inward);
    let mut free = along * m.along + wall.inward * (into * m.across);
    let mut pressure_mpa = Vector3::zeros();
    if m.entrainment > 0.0 {
        let loops = loops_through(ear, wall.region, wall.arc_mm);
        let coupling = m.entrainment / (std::f64::consts::PI * wall.radius_mm * wall.radius_mm);
        pressure_mpa += loops * (coupling * weight.dot(&wall.tangent));
        if model.physics.entrainment {
            free += wall.tangent * (coupling * flow.dot(&loops));
        }
    }
    let mut allowed = free;
    let gap = wall.depth_mm - body.rest_mm;
    if gap <= GRIP * body.radius_mm && into < 0.0 {
        allowed = slowed(allowed, wall.inward, -into * m.along, model.physics.friction);
    }
    if gap <= TOUCH * body.radius_mm {
        allowed = without_approach(allowed, wall.inward);
    }
    if let Some(face) = face_near(ear, wall, at)
        && face.distance_mm <= body.rest_mm + GRIP * body.radius_mm
    {
        if weight.dot(&face.away) < 0.0
            && let Some(canal) = wall.tube()
        {
            let (_, load_mpa) = cupula_load(model, body, canal, pull);
            pressure_mpa[canal.index()] += load_mpa;
        }
        if face.distance_mm <= body.rest_mm + TOUCH * body.radius_mm {
            allowed = without_approach(allowed, face.away);
            if gap <= TOUCH * body.radius_mm {
                allowed = without_approach(allowed, wall.inward);
                if allowed.dot(&face.away) < 0.0 {
                    allowed = in_corner(allowed, wall.inward, face.away);
                }
            }
        }
    }
    Action { free, allowed, pressure_mpa }
}

/// The pressure of a body on a cupula, fixed to it or resting on either face: its weight along the
/// cupula's load axis, evenly spread.
pub(crate) fn cupula_load(model: &Model, body: &Body, canal: Canal, pull: Vec3) -> (Canal, f64) {
    let cupula = &model.ear_of(body).canal(canal).cupula;
    let area = std::f64::consts::PI * cupula.radius_mm * cupula.radius_mm;
    let load = body.buoyant_mass_mg * pull.dot(&cupula.load_axis_in_reid);
    (canal, model.physics.cupula_load_share * load / area)
}

fn split(v: Vec3, normal: Vec3) -> (f64, Vec3) {
    let along_normal = v.dot(&normal);
    (along_normal, v - normal * along_normal)
}

fn without_approach(v: Vec3, away: Vec3) -> Vec3 {
    let into = v.dot(&away);
    if into < 0.0 { v - away * into } else { v }
}

/// Coulomb: the sliding part loses `friction` times the speed that presses.
fn slowed(v: Vec3, normal: Vec3, pressing: f64, friction: f64) -> Vec3 {
    if friction == 0.0 {
        return v;
    }
    let (into, along) = split(v, normal);
    let speed = along.norm();
    let kept = (speed - friction * pressing).max(0.0);
    normal * into + if speed > 0.0 { along * (kept / speed) } else { along }
}

/// Only the direction common to both planes is left.
fn in_corner(v: Vec3, a: Vec3, b: Vec3) -> Vec3 {
    let edge = a.cross(&b);
    let size = edge.norm_squared();
    if size < 1e-12 { Vec3::zeros() } else { edge * (v.dot(&edge) / size) }
}
