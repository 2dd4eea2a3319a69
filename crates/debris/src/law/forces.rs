//! The one law of forces, shared by both engines: how a body moves where it is, and what it does to the
//! cupula there.
//!
//! `v = M W/ζ + β Q t/A` and `ΔP = β W·t/A` with the same β (reciprocity), W the buoyant weight in the
//! gravito-inertial field, ζ = 6πμa, Q the flow through the lumen's area A, t its tangent.

use lithodrome_labyrinth::{Canal, Cupula, EarShape, Region, Vec3, WallSample, length};
use nalgebra::Vector3;

use crate::model::drag::Mobility;
use crate::model::endolymph::loops_through;
use crate::model::{Body, Model, Pieces};

/// Within this share of the radius from its rest distance a body counts as touching.
pub(crate) const TOUCH: f64 = 1e-6;
/// Within this of it along the tube a cupula may be touched, mm.
pub(crate) const NEAR_CUPULA_MM: f64 = 1.2;
/// Within this share a pressed body feels friction.
pub(crate) const GRIP: f64 = 2e-3;

/// Square of the cosine to a wall's normal below which a velocity is along the wall.
pub(crate) const PARALLEL: f64 = 1e-24;

/// What acts on one body at one place, but for the flow.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Action {
    /// Velocity that the weight gives without contact or friction, mm/s.
    pub(crate) drift: Vec3,
    /// Velocity that the weight gives without friction and with no part into a wall that it touches, mm/s.
    pub(crate) sinking: Vec3,
    /// Velocity that a unit flow gives, mm/s per mm³/s, and the loops that feel the body.
    pub(crate) carried: Vec3,
    /// Which loops flow here, `[canal]`.
    pub(crate) loops: Vector3<f64>,
    /// Pressure on the loops of the weight as if nothing held it back, mPa, `[canal]`.
    pub(crate) pressure_mpa: Vector3<f64>,
    /// How fast its weight, pressing it on the wall of a tube, rolls it into the lowest line, 1/s.
    pub(crate) roll_per_s: f64,
    /// Normals of the walls that it touches and cannot enter.
    pub(crate) walls: [Option<Vec3>; 2],
    /// What the wall takes from what goes along it.
    pub(crate) grip: Grip,
}

/// Resistance to rolling of a body that is pressed on a wall.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Grip {
    /// Velocity that it takes, at most all of it, mm/s; 0 where nothing presses.
    pub(crate) speed_mm_s: f64,
    /// Away from the wall.
    pub(crate) away: Vec3,
    /// Pressure on the loops of a velocity of 1 mm/s that is taken, along the axes, mPa per mm/s.
    pub(crate) pressure_per_speed: Vec3,
}

impl Action {
    /// Velocity without regard to contacts, mm/s, in the flow of each loop, mm³/s.
    pub(crate) fn free(&self, flow: &Vector3<f64>) -> Vec3 {
        self.drift + self.carried * flow.dot(&self.loops)
    }

    /// Velocity along the wall before the wall takes of it, mm/s, and the share that it leaves.
    fn sliding(&self, flow: &Vector3<f64>) -> (Vec3, f64) {
        let v = self.sinking + self.carried * flow.dot(&self.loops);
        let along = v - self.grip.away * v.dot(&self.grip.away);
        (along, share_left(length(&along), self.grip.speed_mm_s))
    }

    /// Share of the velocity along the wall that its resistance leaves; 1 where nothing presses.
    pub(crate) fn left(&self, flow: &Vector3<f64>) -> f64 {
        if self.grip.speed_mm_s == 0.0 {
            return 1.0;
        }
        self.sliding(flow).1
    }

    /// Pressure on the loops, mPa, `[canal]`: of what the wall leaves of the weight, for the force that the
    /// wall takes is the wall's and not the fluid's. A body that rests gives none.
    #[inline]
    pub(crate) fn pressure(&self, flow: &Vector3<f64>) -> Vector3<f64> {
        if self.grip.speed_mm_s == 0.0 {
            return self.pressure_mpa;
        }
        let (along, left) = self.sliding(flow);
        let taken_mpa = (along * (1.0 - left)).dot(&self.grip.pressure_per_speed);
        self.pressure_mpa - self.loops * taken_mpa
    }

    /// Which of the walls that it touches it is pressed on.
    pub(crate) fn pressed(&self, flow: &Vector3<f64>) -> [bool; 2] {
        let v = self.free(flow);
        let on = |away: Vec3| v.dot(&away) < 0.0;
        match self.walls {
            [Some(wall), Some(face)] => {
                // What slides along the one may press on the other.
                let after_wall = without_approach(v, wall).dot(&face) < 0.0;
                let after_face = without_approach(v, face).dot(&wall) < 0.0;
                match [on(wall), on(face)] {
                    [true, false] => [true, after_wall],
                    [false, true] => [after_face, true],
                    [true, true] if !after_wall => [true, false],
                    [true, true] if !after_face => [false, true],
                    both => both,
                }
            }
            walls => walls.map(|wall| wall.is_some_and(on)),
        }
    }

    /// Velocity that respects the contacts, mm/s.
    #[inline]
    pub(crate) fn allowed(&self, flow: &Vector3<f64>) -> Vec3 {
        let mut v = self.sinking + self.carried * flow.dot(&self.loops);
        if self.grip.speed_mm_s > 0.0 {
            let (along, left) = self.sliding(flow);
            v -= along * (1.0 - left);
        }
        kept_out(v, self.walls)
    }
}

/// What is left of a velocity or a shift where walls are touched.
#[inline]
pub(crate) fn kept_out(v: Vec3, walls: [Option<Vec3>; 2]) -> Vec3 {
    match walls {
        [None, None] => v,
        [Some(one), None] | [None, Some(one)] => without_approach(v, one),
        [Some(wall), Some(face)] => {
            let v = without_approach(without_approach(without_approach(v, wall), face), wall);
            let into = v.dot(&face);
            // Along the face it is nothing but rounding.
            if into < 0.0 && into * into > PARALLEL * v.norm_squared() {
                in_corner(v, wall, face)
            } else {
                v
            }
        }
    }
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
    if wall.arc_mm.abs() > NEAR_CUPULA_MM {
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
pub(crate) fn mobility(model: &Model, body: &Body, pieces: &Pieces, wall: &WallSample) -> Mobility {
    let (drag, rolling) = (model.drag, &body.matter.rolling);
    let delta = (wall.depth_mm - body.radius_mm) / body.radius_mm;
    if wall.radius_mm.is_infinite() {
        return Mobility {
            entrainment: 0.0,
            ..drag.at(rolling, 0.0, 0.0, delta)
        };
    }
    drag.at(
        rolling,
        pieces.radius_mm / wall.radius_mm,
        wall.off_axis_mm / wall.radius_mm,
        delta,
    )
}

/// What acts on a free body at `at`; `pull` is gravity less the ear's acceleration, mm/s².
pub(crate) fn action(
    model: &Model,
    body: &Body,
    pieces: &Pieces,
    at: Vec3,
    wall: &WallSample,
    pull: Vec3,
) -> Action {
    let ear = model.ear_of(body);
    let m = mobility(model, body, pieces, wall);
    let weight = pull * body.buoyant_mass_mg;
    let free = weight / pieces.resistance_mg_s;
    let (into, along) = split(free, wall.inward);
    let across = wall.inward * (into * m.across);
    let mut sinking = along * m.along;
    let drift = sinking + across;
    let gap = wall.depth_mm - body.rest_mm;
    let mut grip = Grip::default();
    if gap <= GRIP * body.radius_mm && into < 0.0 {
        grip.speed_mm_s = -into * m.along * body.matter.rolling.resistance;
        grip.away = wall.inward;
    }
    let touching = gap <= TOUCH * body.radius_mm;
    if !touching || into > 0.0 {
        sinking += across;
    }
    let mut action = Action {
        drift,
        sinking,
        carried: Vec3::zeros(),
        loops: Vector3::zeros(),
        pressure_mpa: Vector3::zeros(),
        roll_per_s: if touching && into < 0.0 && wall.off_axis_mm > 0.0 {
            -into * m.along / wall.off_axis_mm
        } else {
            0.0
        },
        walls: [touching.then_some(wall.inward), None],
        grip,
    };
    if m.entrainment > 0.0 {
        action.loops = loops_through(ear, wall.region, wall.arc_mm);
        let coupling = m.entrainment / (std::f64::consts::PI * wall.radius_mm * wall.radius_mm);
        action.pressure_mpa = action.loops * (coupling * weight.dot(&wall.tangent));
        let force_per_speed = pieces.resistance_mg_s / m.along;
        action.grip.pressure_per_speed = wall.tangent * (coupling * force_per_speed);
        if model.physics.entrainment {
            action.carried = wall.tangent * coupling;
        }
    }
    if let Some(face) = face_near(ear, wall, at)
        && face.distance_mm <= body.rest_mm + GRIP * body.radius_mm
    {
        if weight.dot(&face.away) < 0.0
            && let Some(canal) = wall.tube()
        {
            action.pressure_mpa[canal.index()] += lying_load(model, body, canal, at, pull);
        }
        if face.distance_mm <= body.rest_mm + TOUCH * body.radius_mm {
            action.walls[1] = Some(face.away);
        }
    }
    action
}

/// The pressure on a cupula of a body that is fixed to it: its weight along the cupula's load axis, evenly
/// spread.
pub(crate) fn cupula_load(model: &Model, body: &Body, canal: Canal, pull: Vec3) -> f64 {
    let cupula = &model.ear_of(body).canal(canal).cupula;
    evenly_spread(model, body, cupula, pull.dot(&cupula.load_axis_in_reid))
}

/// The pressure on a cupula of a body that lies on it and is not fixed: without friction a contact bears
/// only what is along its normal, and only what presses. The membrane stands on its crista and so has that
/// one's normal (stands of two cristae: Zhou 2024, Front Neurol 15:1401041), though the face that stops a body
/// is square across the duct.
pub(crate) fn lying_load(model: &Model, body: &Body, canal: Canal, at: Vec3, pull: Vec3) -> f64 {
    let cupula = &model.ear_of(body).canal(canal).cupula;
    let (from_middle, across) = split(at - cupula.centre_in_reid_mm, cupula.to_duct_in_reid);
    let along = pull.dot(&cupula.crista_normal_in_reid);
    if along * from_middle > 0.0 {
        return 0.0;
    }
    let even = evenly_spread(model, body, cupula, along);
    let rho2 = across.norm_squared() / (cupula.radius_mm * cupula.radius_mm);
    let physics = &model.physics;
    even * physics.lying_load.share(rho2, physics.cupula_rim)
}

fn evenly_spread(model: &Model, body: &Body, cupula: &Cupula, pull_mm_s2: f64) -> f64 {
    let area = std::f64::consts::PI * cupula.radius_mm * cupula.radius_mm;
    model.physics.cupula_load_share * body.buoyant_mass_mg * pull_mm_s2 / area
}

fn split(v: Vec3, normal: Vec3) -> (f64, Vec3) {
    let along_normal = v.dot(&normal);
    (along_normal, v - normal * along_normal)
}

fn without_approach(v: Vec3, away: Vec3) -> Vec3 {
    let into = v.dot(&away);
    if into < 0.0 { v - away * into } else { v }
}

/// Coulomb: a sliding velocity loses `grip` mm/s, at most all of it. The share that is left.
fn share_left(speed: f64, grip: f64) -> f64 {
    if speed > grip {
        1.0 - grip / speed
    } else {
        0.0
    }
}

/// Only the direction common to both planes is left.
pub(crate) fn in_corner(v: Vec3, a: Vec3, b: Vec3) -> Vec3 {
    let edge = a.cross(&b);
    let size = edge.norm_squared();
    if size < 1e-12 {
        Vec3::zeros()
    } else {
        edge * (v.dot(&edge) / size)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests may fail loudly")]
    use std::sync::Arc;

    use lithodrome_chair::{ChairAngles, HeadMotion, Lever, MoveProfile};
    use lithodrome_labyrinth::{Anatomy, Ear, Labyrinth};

    use super::*;
    use crate::{DebrisGroup, Matter, Physics, Start};

    /// By hand, W g / π R² for a body in the middle of the utricular face of a posterior cupula, with the stand of
    /// its crista (Zhou 2024): all of it where gravity is along the crista's normal, nothing where it is across,
    /// nothing where it pulls the body off, whatever the face across the duct says.
    #[test]
    fn a_lying_body_presses_along_the_normal_of_the_crista() {
        let anatomy = Anatomy::named("typical-adult").unwrap().unwrap();
        let labyrinth = Arc::new(Labyrinth::build(&anatomy).unwrap());
        let canal = Canal::Posterior;
        let group = DebrisGroup {
            ear: Ear::Right,
            canal,
            start: Start::ShortArm,
            count: 1,
            diameter_mm: 0.05,
            density_mg_mm3: 2.7,
            matter: Matter::default(),
        };
        let physics = Physics::default();
        let upright = ChairAngles::default();
        let still = HeadMotion::new(
            upright,
            Vec::new(),
            MoveProfile::default(),
            Lever::default(),
        );
        let pose = still.unwrap().at(0.0);
        let model = Model::new(labyrinth, &[group], physics, &pose).unwrap();
        let body = &model.bodies[0];
        let cupula = &model.ear_of(body).canal(canal).cupula;
        let normal = cupula.crista_normal_in_reid;
        let across = normal.cross(&cupula.to_duct_in_reid).normalize();
        assert!(normal.dot(&cupula.to_duct_in_reid) < 0.9);
        let at = cupula.centre_in_reid_mm - cupula.to_duct_in_reid * 0.3;
        let load = |pull: Vec3| lying_load(&model, body, canal, at, pull);
        let area = std::f64::consts::PI * cupula.radius_mm * cupula.radius_mm;
        let middle = model
            .physics
            .lying_load
            .share(0.0, model.physics.cupula_rim);
        let whole = model.physics.cupula_load_share * middle * body.buoyant_mass_mg * 9810.0 / area;
        assert!((load(normal * 9810.0) / whole - 1.0).abs() < 1e-9);
        assert!(load(across * 9810.0).abs() < 1e-9 * whole);
        assert!(load(-normal * 9810.0).abs() < 1e-12);
    }
}
