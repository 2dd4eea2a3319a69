//! How fast the error of both engines falls with their step, on a torus and in the mean ear.
//!
//! Order p: halving the step divides the error by 2^p. The trapezoid rule of the settling engine has
//! p = 2 (any textbook of numerical analysis); the rigid engine solves contacts once per step with the
//! walls as they are at its start, which is p = 1. Found at the usual step: settling 2.0 to 2.3, also
//! where the body lands on a wall on its way; rigid 1.0 everywhere.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod rig;

use std::sync::Arc;

use lithodrome_chair::{HeadMotion, HeadPose, Lever, MoveProfile, Step};
use lithodrome_debris::{
    DebrisGroup, Engine, Live, Model, OTOCONIA_DENSITY_MG_MM3, Physics, Start,
};
use lithodrome_labyrinth::{Anatomy, Canal, Ear, Labyrinth, Ring, Vec3};
use rig::{BOTH, Bead, at_angle, chair, hold, model, no_entrainment};

/// Where the first body is after a time in a still head, mm, in double precision.
fn place_mm(model: &Model, pose: &HeadPose, engine: Engine, time_s: f64, step_scale: f64) -> Vec3 {
    let mut model = model.clone();
    model.step_scale = step_scale;
    let mut live = Live::new(Arc::new(model), engine, pose);
    live.advance(pose, time_s).unwrap();
    live.snapshot().bodies[0].position_in_reid_mm
}

/// Errors with one, a half and a quarter of the usual step, mm, and the orders between them.
fn errors(error_mm: impl Fn(f64) -> f64) -> ([f64; 3], [f64; 2]) {
    let e = [1.0, 0.5, 0.25].map(error_mm);
    (e, [(e[0] / e[1]).log2(), (e[1] / e[2]).log2()])
}

/// A bead on the outer wall of a torus, from 80° to 28° from its lowest point, against the tan law.
#[test]
fn on_a_torus_against_the_closed_form() {
    const TIME_S: f64 = 10.0;
    let ring = Ring::default();
    let physics = no_entrainment();
    let lowest_deg = ring.lowest_upright_rad.to_degrees();
    let motion = hold(&ring, lowest_deg, TIME_S);
    let group = at_angle(&ring, 1, 50.0, lowest_deg + 80.0);
    let model = model(&ring, &[group], physics, &motion);
    let bead = Bead::of(&ring, &physics, 50.0);
    let (sin, cos) = bead
        .angle_to_lowest_deg(80.0, TIME_S)
        .to_radians()
        .sin_cos();
    let exact = -(Vec3::z() * cos + Vec3::y() * sin) * bead.path_mm;
    for (engine, least, allowed_mm) in [(Engine::Settling, 1.9, 1e-3), (Engine::Rigid, 0.9, 1e-3)] {
        let (e, p) = errors(|scale| {
            (place_mm(&model, &motion.at(0.0), engine, TIME_S, scale) - exact).norm()
        });
        println!(
            "{engine:?}: errors {:.5?} µm, orders {p:.2?}",
            e.map(|e| e * 1e3)
        );
        assert!(p[0] > least && p[1] > least, "{engine:?}: {p:?}");
        assert!(e[0] < allowed_mm, "{engine:?}: {e:?}");
    }
}

/// The posterior canal of the mean ear in the Dix-Hallpike posture, against the same engine with 1/64 of
/// its step: from 6.8 mm a body rolls on one wall all the way, from 3 mm it lands on a wall first.
#[test]
fn in_the_mean_ear_against_fine_steps() {
    let anatomy = Anatomy::named("mean-adult").unwrap().unwrap();
    let labyrinth = Arc::new(Labyrinth::build(&anatomy).unwrap());
    let to = chair(45.0, 120.0);
    let step = Step {
        name: String::new(),
        to,
        move_s: 0.0,
        hold_s: 1.0,
    };
    let lever = Lever::default();
    let motion = HeadMotion::new(to, vec![step], MoveProfile::MinimumJerk, lever).unwrap();
    let pose = motion.at(0.0);
    for (from_mm, diameter_um, time_s, least_settling) in [
        (6.8, 50.0, 5.0, 1.9),
        (6.8, 20.0, 20.0, 1.9),
        (3.0, 50.0, 5.0, 0.9),
    ] {
        let group = DebrisGroup {
            ear: Ear::Right,
            canal: Canal::Posterior,
            start: Start::Arc { mm: from_mm },
            count: 1,
            diameter_mm: diameter_um / 1000.0,
            density_mg_mm3: OTOCONIA_DENSITY_MG_MM3,
            matter: lithodrome_debris::Matter::default(),
        };
        let physics = Physics::default();
        let model = Model::new(Arc::clone(&labyrinth), &[group], physics, &pose).unwrap();
        for (engine, least) in BOTH.into_iter().zip([least_settling, 0.9]) {
            let at = |scale: f64| place_mm(&model, &pose, engine, time_s, scale);
            let fine = at(1.0 / 64.0);
            let (e, p) = errors(|scale| (at(scale) - fine).norm());
            println!(
                "{engine:?} {from_mm} mm {diameter_um} µm: {:.5?} µm, orders {p:.2?}",
                e.map(|e| e * 1e3)
            );
            // Over both halvings: the first errors are nanometres, where single steps still show.
            let order = 0.5 * (p[0] + p[1]);
            assert!(order > least, "{engine:?} {from_mm}: {p:?}");
            assert!(e[0] < 2e-3, "{engine:?} {from_mm}: {e:?}");
        }
    }
}
