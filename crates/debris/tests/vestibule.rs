//! Debris that is out of its canal: what it does to the cupula it lies on, and what holds it with time.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use lithodrome_debris::{DebrisGroup, Engine, LyingLoad, Matter, Physics, Start, VestibuleHold};
use lithodrome_labyrinth::{Canal, CanalId, Ear, Vec3};
use scene::{debris, motion, run};

const ENGINES: [Engine; 2] = [Engine::Settling, Engine::Rigid];

/// Integral over the disc: whatever its spread, a load that covers the cupula evenly is the even load.
#[test]
fn every_spread_of_a_load_has_the_same_whole() {
    const N: u32 = 10_000;
    for load in [LyingLoad::Even, LyingLoad::Membrane, LyingLoad::Plate] {
        for rim in [0.0, 0.25] {
            let share = |i: u32| load.share((f64::from(i) + 0.5) / f64::from(N), rim);
            let mean = (0..N).map(share).sum::<f64>() / f64::from(N);
            assert!((mean - 1.0).abs() < 1e-6, "{load:?}: {mean}");
        }
    }
    assert!((LyingLoad::Membrane.share(0.0, 0.0) - 2.0).abs() < 1e-12);
    assert!((LyingLoad::Plate.share(0.0, 0.0) - 3.0).abs() < 1e-12);
    assert!(LyingLoad::Plate.share(1.0, 0.0).abs() < 1e-12);
    assert!(LyingLoad::Plate.share(0.6, 0.25).abs() < 1e-12);
}

/// In somebody who sits, debris in the posterior short arm comes to rest at the rim of the cupula. Spread
/// evenly its load would keep a nystagmus of 10 deg/s and more going, which clinics do not report; borne by
/// crista and wall it leaves less than the 3 deg/s that are seen.
#[test]
fn debris_at_the_rim_of_a_cupula_hardly_loads_it() {
    let sit = motion((0.0, 0.0), &[(0.0, 0.0, 1.0, 120.0)]);
    let group = DebrisGroup {
        start: Start::ShortArm,
        ..debris(Ear::Right, 8, 50.0)
    };
    let id = CanalId {
        ear: Ear::Right,
        canal: Canal::Posterior,
    };
    for engine in ENGINES {
        let [even, plate] = [LyingLoad::Even, LyingLoad::Plate].map(|lying_load| {
            let physics = Physics {
                lying_load,
                ..Physics::default()
            };
            let run = run(&[group], physics, &sit, engine);
            run.debris_signal_rad_s[id.index()]
                .last()
                .unwrap()
                .to_degrees()
        });
        println!("{engine:?}: even {even:.1}, plate {plate:.2} deg/s after two minutes");
        assert!(
            even.abs() > 8.0 && plate.abs() < 2.0,
            "{engine:?}: {even} {plate}"
        );
    }
}

/// By hand: a hold of 2 (1 − exp(−t / 600 s)) times the weight passes the whole weight after 416 s. So
/// debris on the utricle's floor follows when the patient lies down after 5 min, and stays after 10.
#[test]
fn what_rests_in_the_utricle_is_held_with_time() {
    let matter = Matter {
        vestibule_hold: Some(VestibuleHold::default()),
        ..Matter::default()
    };
    let group = DebrisGroup {
        start: Start::Utricle,
        matter,
        ..debris(Ear::Right, 2, 50.0)
    };
    for engine in ENGINES {
        let [soon, late] = [300.0, 600.0].map(|wait_s| {
            let lie = motion(
                (0.0, 0.0),
                &[(0.0, 0.0, 1.0, wait_s), (90.0, 90.0, 3.0, 20.0)],
            );
            let run = run(&[group], Physics::default(), &lie, engine);
            let at = |time_s: f64| {
                let last = run.time_s.len() - 1;
                let i = run.time_s.partition_point(|t| *t < time_s).min(last);
                Vec3::from(run.tracks[0].position_in_reid_mm[i].map(f64::from))
            };
            (at(1e9) - at(wait_s)).norm()
        });
        println!("{engine:?}: after 5 min it goes {soon:.2} mm, after 10 {late:.1e} mm");
        assert!(soon > 0.3 && late < 1e-4, "{engine:?}: {soon} {late}");
    }
}
