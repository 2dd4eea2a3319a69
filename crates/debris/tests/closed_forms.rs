//! Drag, fluid and cupula against closed forms and published numbers.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::ops::ControlFlow;
use std::sync::Arc;

use approx::{assert_abs_diff_eq, assert_relative_eq};
use lithodrome_chair::{ChairAngles, HeadMotion, Lever, MoveProfile, Step};
use lithodrome_debris::drag::{DragTable, axis_entrainment, axis_resistance, toward_plane};
use lithodrome_debris::endolymph::{Displacement, Endolymph};
use lithodrome_debris::{
    Engine, Model, OTOCONIA_DENSITY_MG_MM3, Physics, Rolling, simulate, stokes_speed_mm_s,
};
use lithodrome_labyrinth::{Anatomy, Canal, CanalId, Ear, Labyrinth, Vec3};
use nalgebra::Vector3;

fn mean_adult() -> Arc<Labyrinth> {
    Arc::new(Labyrinth::build(&Anatomy::named("mean-adult").unwrap().unwrap()).unwrap())
}

#[test]
fn free_speed_is_stokes() {
    // Stokes 1851: (2/9) Δρ g a² / μ by hand, mm/s.
    let physics = Physics::default();
    for (diameter_mm, speed) in [
        (0.005, 0.02316),
        (0.015, 0.2085),
        (0.036, 1.201),
        (0.050, 2.316),
    ] {
        let ours = stokes_speed_mm_s(diameter_mm / 2.0, OTOCONIA_DENSITY_MG_MM3, &physics);
        assert_relative_eq!(ours, speed, max_relative = 0.005);
    }
}

#[test]
fn axis_resistance_agrees_with_two_publications() {
    // Faxén 1923 (Happel & Brenner 1965): 1/K1 = 1 − 2.104λ + 2.09λ³ − 0.95λ⁵ at λ = 0.05.
    assert_relative_eq!(1.0 / axis_resistance(0.05), 0.8951, max_relative = 0.001);
    // Bungay & Brenner 1973 against Haberman & Sayre 1958, which part above λ = 0.6.
    for (lambda, k1) in [(0.1, 1.263), (0.3, 2.371), (0.5, 5.95)] {
        assert_relative_eq!(axis_resistance(lambda), k1, max_relative = 0.015);
    }
    assert_relative_eq!(axis_resistance(0.7), 24.7, max_relative = 0.02);
}

#[test]
fn entrainment_on_the_axis_is_reciprocal() {
    // β = 2 K2/K1 of Haberman & Sayre 1958.
    for (lambda, beta) in [
        (0.0, 2.0),
        (0.156, 1.968),
        (0.25, 1.918),
        (0.5, 1.694),
        (0.75, 1.407),
        (0.99, 1.11),
    ] {
        assert_relative_eq!(axis_entrainment(lambda), beta, max_relative = 0.005);
    }
}

#[test]
fn a_body_on_the_wall_rolls() {
    // No-slip rolling at 1 % gap from the lubrication resistances of Goldman, Cox & Brenner 1967:
    // 1 / [−(F^t + F^r) − (4/3)(T^t + T^r)] = 0.177; the pressure of a rolling 50 µm body: 0.257.
    let l = 0.01_f64.ln();
    let (ft, tt) = (8.0 / 15.0 * l - 0.9588, -0.1 * l - 0.1895);
    let (fr, tr) = (-2.0 / 15.0 * l - 0.2526, 0.4 * l - 0.3817);
    let rolling = 1.0 / (-(ft + fr) - 4.0 / 3.0 * (tt + tr));
    let (drag, usual) = (DragTable::new(), Rolling::default());
    let lambda = 0.025 / 0.16;
    let m = drag.at(&usual, lambda, 1.0 - lambda, 0.01);
    assert_relative_eq!(m.along, rolling, max_relative = 0.01);
    assert_relative_eq!(m.entrainment, 0.257, max_relative = 0.01);
    // A plug-like body is held by the tube, not by the wall.
    assert_relative_eq!(
        drag.at(&usual, 0.75, 0.2, 0.01).along,
        1.0 / axis_resistance(0.75),
        max_relative = 1e-3
    );
    assert_abs_diff_eq!(toward_plane(0.0), 0.0);
    // The same resistances at other gaps (hand calculation): 0.26, 0.21, 0.151, 0.133 at 10, 3, 0.3, 0.1 %;
    // reciprocity: the pressure goes with the speed.
    for (gap, speed) in [(0.1, 0.26), (0.03, 0.21), (0.003, 0.151), (0.001, 0.133)] {
        let rolling = Rolling::at_gap(gap);
        assert_relative_eq!(rolling.mobility, speed, max_relative = 0.015);
        assert_relative_eq!(
            rolling.entrainment,
            rolling.mobility * (6.802 + 2.517),
            max_relative = 2e-3
        );
        assert_relative_eq!(
            drag.at(&rolling, lambda, 1.0 - lambda, gap).along,
            rolling.mobility
        );
    }
    assert_eq!(Rolling::at_gap(0.01), usual);
}

#[test]
fn ratios_never_leave_their_bounds() {
    let (drag, usual) = (DragTable::new(), Rolling::default());
    for l in 0..=95 {
        for d in 0..200 {
            let (lambda, delta) = (f64::from(l) * 0.01, 0.001 * 1.06_f64.powi(d));
            let m = drag.at(&usual, lambda, (1.0 - lambda) * 0.5, delta);
            for x in [m.along, m.across, m.entrainment / 2.0] {
                assert!((0.0..=1.0).contains(&x), "λ {lambda} δ {delta}: {m:?}");
            }
        }
    }
}

#[test]
fn a_velocity_step_decays_with_the_published_time_constant() {
    // Dai et al. 1999, J Vestib Res 9:293: 4.2 s; 60 deg/s leave 60/e = 22.1 deg/s after 4.2 s.
    let labyrinth = mean_adult();
    for id in CanalId::ALL {
        let fluid = Endolymph::of(labyrinth.ear(id.ear), &Physics::default());
        let axis = labyrinth.canal(id).n_exc_in_reid;
        let mut state = Displacement::rest();
        let signal = |s: &Displacement| {
            fluid
                .signal_rad_s(id.canal, s.rotation_mm3[id.canal.index()])
                .to_degrees()
        };
        fluid.step(
            &mut state,
            &Vector3::zeros(),
            &(axis * 60f64.to_radians()),
            1e-6,
        );
        // The loops of the vertical canals share the crus: 3 % of their resistance, and their axes
        // are 94 degrees apart.
        let shared = if id.canal == Canal::Lateral {
            0.001
        } else {
            0.02
        };
        assert_relative_eq!(signal(&state), 60.0, max_relative = shared);
        fluid.step(&mut state, &Vector3::zeros(), &Vec3::zeros(), 4.2);
        assert_relative_eq!(signal(&state), 22.07, max_relative = 0.005 + shared);
    }
}

#[test]
fn fluid_steps_of_any_length_agree() {
    // The propagator is exact: one step of 1 s is a thousand steps of 1 ms.
    let fluid = Endolymph::of(mean_adult().ear(Ear::Left), &Physics::default());
    let pressure = Vector3::new(0.5, -0.2, 0.9);
    let turn = Vec3::new(0.3, -0.8, 0.4);
    let mut one = Displacement::rest();
    fluid.step(&mut one, &pressure, &turn, 1.0);
    let mut many = Displacement::rest();
    for _ in 0..1000 {
        fluid.step(&mut many, &pressure, &(turn / 1000.0), 1e-3);
    }
    assert_relative_eq!(one.debris_mm3, many.debris_mm3, max_relative = 1e-9);
    assert_relative_eq!(one.rotation_mm3, many.rotation_mm3, max_relative = 1e-9);
}

#[test]
fn pressure_and_acceleration_are_exchangeable() {
    // ω∞ = ΔP τ / (2ρS·n): the stiffness drops out of what the eye sees.
    let labyrinth = mean_adult();
    let id = CanalId {
        ear: Ear::Right,
        canal: Canal::Lateral,
    };
    let fluid = Endolymph::of(labyrinth.ear(id.ear), &Physics::default());
    let mut state = Displacement::rest();
    fluid.step(
        &mut state,
        &Vector3::new(0.0, -0.7, 0.0),
        &Vec3::zeros(),
        500.0,
    );
    let circulation = fluid.circulation[1]
        .dot(&labyrinth.canal(id).n_exc_in_reid)
        .abs();
    let expected = 0.7 * 4.2 / circulation;
    assert_relative_eq!(
        fluid.signal_rad_s(id.canal, state.debris_mm3[1]),
        expected,
        max_relative = 1e-6
    );
}

#[test]
fn a_chair_that_turns_excites_the_canals_it_turns_about() {
    // Yaw to the left excites the left lateral canal and inhibits the right one (Ewald's first law).
    let labyrinth = mean_adult();
    let angles = |yaw_rad| ChairAngles {
        yaw_rad,
        ..ChairAngles::default()
    };
    let step = Step {
        name: "turn".into(),
        to: angles(1.5),
        move_s: 1.0,
        hold_s: 1.0,
    };
    let motion = HeadMotion::new(
        angles(0.0),
        vec![step],
        MoveProfile::MinimumJerk,
        Lever::default(),
    )
    .unwrap();
    let model = Model::new(labyrinth, &[], Physics::default(), &motion.at(0.0)).unwrap();
    let run = simulate(&model, &motion, Engine::Settling, &mut |_| {
        ControlFlow::Continue(())
    })
    .unwrap();
    let at = run.time_s.partition_point(|t| *t < 0.5);
    let signal = |ear| {
        run.rotation_signal_rad_s[CanalId {
            ear,
            canal: Canal::Lateral,
        }
        .index()][at]
    };
    assert!(signal(Ear::Left) > 0.5 && signal(Ear::Right) < -0.5);
    assert!(run.debris_signal_rad_s.iter().flatten().all(|s| *s == 0.0));
}
