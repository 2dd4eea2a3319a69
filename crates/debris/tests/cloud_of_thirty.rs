//! A cloud of thirty clumps leaves its canal at like times in both engines.
//!
//! First, median and last exit within 1 s: measured so between prototypes of two movers of this kind. Of a
//! mixed cloud the very first and the very last are single grains, whose way between the others differs
//! from solver to solver and from step to step by seconds; of it the first, the middle and the last third
//! are compared.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use lithodrome_debris::{DebrisGroup, Engine, Physics, Start};
use lithodrome_labyrinth::Ear;
use scene::{debris, epley, out_of_canal, run};

const CLUMPS: u32 = 30;

/// When they leave, s, in order.
fn exits_s(groups: &[DebrisGroup], hold_s: f64, engine: Engine) -> Vec<f64> {
    let run = run(
        groups,
        Physics::default(),
        &epley(Ear::Right, hold_s),
        engine,
    );
    assert!(run.warnings.is_empty(), "{:?}", run.warnings);
    assert!(
        run.tracks.iter().all(out_of_canal),
        "{engine:?}: not all out"
    );
    let mut exits: Vec<f64> = run.tracks.iter().map(|t| t.exit_s.unwrap()).collect();
    exits.sort_by(f64::total_cmp);
    exits
}

fn mean(exits: &[f64]) -> f64 {
    exits.iter().sum::<f64>() / exits.len() as f64
}

/// Thirty clumps of 40 to 60 µm, sizes mixed along the duct.
#[test]
fn a_mixed_cloud() {
    let groups: Vec<_> = (0..CLUMPS)
        .map(|i| DebrisGroup {
            start: Start::Arc {
                mm: 1.7 + 0.075 * f64::from(i),
            },
            // 7 and 30 have no common divisor: every size once.
            ..debris(
                Ear::Right,
                1,
                40.0 + 20.0 / 29.0 * f64::from(i * 7 % CLUMPS),
            )
        })
        .collect();
    let [settling, rigid] = [Engine::Settling, Engine::Rigid].map(|engine| {
        let exits = exits_s(&groups, 20.0, engine);
        println!("{engine:?} {exits:.2?}");
        [mean(&exits[..10]), mean(&exits[10..20]), mean(&exits[20..])]
    });
    println!("settling {settling:.2?}, rigid {rigid:.2?}");
    for (a, b) in settling.into_iter().zip(rigid) {
        assert!((a - b).abs() <= 1.0, "{settling:?} {rigid:?}");
    }
}

/// Thirty clumps of 50 µm: before the last move they lie at the top of the crus in a row of 1.5 mm, which
/// leaves from its near end to its far end within some seconds.
#[test]
fn a_cloud_of_equal_clumps() {
    let groups = [debris(Ear::Right, CLUMPS, 50.0)];
    let [settling, rigid] = [Engine::Settling, Engine::Rigid].map(|engine| {
        let exits = exits_s(&groups, 30.0, engine);
        [exits[0], 0.5 * (exits[14] + exits[15]), exits[29]]
    });
    println!("settling {settling:.2?}, rigid {rigid:.2?}");
    for (a, b) in settling.into_iter().zip(rigid) {
        assert!((a - b).abs() <= 1.0, "{settling:?} {rigid:?}");
    }
    assert!((2.0..8.0).contains(&(rigid[2] - rigid[0])), "{rigid:?}");
}
