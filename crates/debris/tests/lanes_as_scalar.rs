//! Runs that go four at a time end where each ends alone: the scalar engine is the reference.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_chair::HeadMotion;
use lithodrome_debris::{DebrisGroup, Engine, Model, Physics, Start, final_states, simulate};
use lithodrome_labyrinth::{Anatomy, Canal, Ear, Labyrinth};
use scene::{debris, epley, motion, resisting};

/// Farthest that a body may end from where the scalar engine ends, µm, and the exit times, s.
const ALLOWED_UM: f64 = 0.05;
const ALLOWED_S: f64 = 1e-3;

fn labyrinth(name: &str) -> Arc<Labyrinth> {
    let anatomy = Anatomy::named(name).unwrap().unwrap();
    Arc::new(Labyrinth::build(&anatomy).unwrap())
}

/// Three ears, both sides, canals, starts, sizes, with and without friction; four motions.
fn cases() -> Vec<(Model, HeadMotion)> {
    let ears = ["mean-adult", "short-crus", "wide-ducts"].map(labyrinth);
    let mut all = Vec::new();
    for i in 0..48 {
        let ear = Ear::ALL[i % 2];
        let motion = match i % 4 {
            0 | 1 => epley(ear, 20.0 + (i % 5) as f64 * 10.0),
            2 => motion(
                (0.0, 0.0),
                &[(45.0, 120.0, 1.5, 40.0), (45.0, -30.0, 2.0, 40.0)],
            ),
            _ => motion(
                (90.0, 0.0),
                &[(90.0, 360.0, 20.0, 30.0), (0.0, 360.0, 5.0, 10.0)],
            ),
        };
        let group = DebrisGroup {
            canal: [
                Canal::Posterior,
                Canal::Posterior,
                Canal::Lateral,
                Canal::Anterior,
            ][i / 2 % 4],
            start: [
                Start::AmpullaryArm,
                Start::NonAmpullaryArm,
                Start::ShortArm,
                Start::Utricle,
            ][i / 3 % 4],
            ..debris(ear, 1, [12.0, 20.0, 35.0, 50.0, 80.0][i % 5])
        };
        let resistance = [0.0, 0.0, 0.22, 0.0, 0.35, 0.0, 0.1][i % 7];
        let group = resisting(group, resistance);
        let physics = Physics::default();
        let model = Model::new(ears[i % 3].clone(), &[group], physics, &motion.at(0.0)).unwrap();
        all.push((model, motion));
    }
    all
}

#[test]
fn lanes_end_where_the_scalar_engine_does() {
    let cases = cases();
    let runs: Vec<_> = cases
        .iter()
        .map(|(model, motion)| (model, motion))
        .collect();
    let mut heard = Vec::new();
    let lanes = final_states(&runs, &mut |index| heard.push(index));
    let lanes: Vec<_> = lanes.into_iter().map(Result::unwrap).collect();
    heard.sort_unstable();
    assert_eq!(heard, (0..runs.len()).collect::<Vec<_>>());
    let mut worst = (0.0_f64, 0.0_f64, 0);
    for (i, ((model, motion), ending)) in runs.iter().zip(&lanes).enumerate() {
        let run = simulate(model, motion, Engine::Settling, &mut |_| {
            ControlFlow::Continue(())
        })
        .unwrap();
        let fate = ending.bodies[0];
        let track = &run.tracks[0];
        let at = track.position_in_reid_mm.last().unwrap();
        let off_um = (0..3)
            .map(|k| (fate.position_in_reid_mm[k] - f64::from(at[k])).powi(2))
            .sum::<f64>()
            .sqrt()
            * 1e3;
        let exits = [track.exit_s, fate.exit_s];
        let off_s = match exits {
            [Some(a), Some(b)] => (a - b).abs(),
            [None, None] => 0.0,
            _ => f64::INFINITY,
        };
        println!(
            "{i}: {off_um:.5} µm, exits {exits:?}, steps {} {}, {:?} {:?}",
            run.work.steps,
            ending.work.steps,
            track.place.last().unwrap(),
            fate.place
        );
        if off_um > worst.0 || off_s > worst.1 {
            worst = (off_um.max(worst.0), off_s.max(worst.1), i);
        }
    }
    println!("worst {worst:?}");
    assert!(worst.0 < ALLOWED_UM && worst.1 < ALLOWED_S, "{worst:?}");
}

/// What has no lane, among runs that have one: two bodies, and a motion that takes no time.
#[test]
fn runs_without_a_lane_keep_their_place_in_the_order() {
    let labyrinth = labyrinth("mean-adult");
    let model = |count| {
        let group = debris(Ear::Right, count, 50.0);
        let pose = epley(Ear::Right, 10.0).at(0.0);
        Model::new(labyrinth.clone(), &[group], Physics::default(), &pose).unwrap()
    };
    let (one, two) = (model(1), model(2));
    let (long, none) = (epley(Ear::Right, 10.0), motion((0.0, 0.0), &[]));
    let runs = [(&one, &long), (&two, &long), (&one, &none), (&one, &long)];
    let ends = final_states(&runs, &mut |_| ());
    let ends: Vec<_> = ends.into_iter().map(Result::unwrap).collect();
    let bodies: Vec<usize> = ends.iter().map(|end| end.bodies.len()).collect();
    assert_eq!(bodies, [1, 2, 1, 1]);
    for ((model, motion), end) in runs.iter().zip(&ends) {
        let go_on = &mut |_| ControlFlow::Continue(());
        let run = simulate(model, motion, Engine::Settling, go_on).unwrap();
        assert_eq!(end.work.steps, run.work.steps);
        for (track, fate) in run.tracks.iter().zip(&end.bodies) {
            let at = track.position_in_reid_mm.last().unwrap();
            for (k, x) in at.iter().enumerate() {
                assert!((f64::from(*x) - fate.position_in_reid_mm[k]).abs() < 1e-5);
            }
        }
    }
}
