//! What the turning of the chair does to a cupula and what debris does stand in columns of their own.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use lithodrome_debris::{DebrisGroup, Engine, Physics, Start};
use lithodrome_labyrinth::{Canal, CanalId, Ear};
use scene::{debris, motion, run};

/// The fluid is linear: the rotation column does not know of free debris, the debris column is empty
/// without it, and debris on either side of the cupula shows in the second alone.
#[test]
fn the_rotation_column_does_not_know_of_debris() {
    let motion = motion((0.0, 0.0), &[(45.0, 120.0, 2.0, 20.0)]);
    let short = DebrisGroup {
        start: Start::ShortArm,
        ..debris(Ear::Right, 2, 50.0)
    };
    for engine in [Engine::Settling, Engine::Rigid] {
        let empty = run(&[], Physics::default(), &motion, engine);
        let full = run(
            &[debris(Ear::Right, 4, 50.0), short],
            Physics::default(),
            &motion,
            engine,
        );
        for id in CanalId::ALL {
            let k = id.index();
            assert!(empty.debris_signal_rad_s[k].iter().all(|s| s.abs() < 1e-15));
            let pairs = empty.rotation_signal_rad_s[k]
                .iter()
                .zip(&full.rotation_signal_rad_s[k]);
            let off = pairs.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            // What is left are samples between steps of other lengths.
            assert!(off < 2e-3, "{engine:?} {id:?}: {off} rad/s");
        }
        let posterior = CanalId {
            ear: Ear::Right,
            canal: Canal::Posterior,
        };
        let peak = |column: &[f64]| column.iter().fold(0.0_f64, |m, s| m.max(s.abs()));
        let debris = peak(&full.debris_signal_rad_s[posterior.index()]);
        let rotation = peak(&full.rotation_signal_rad_s[posterior.index()]);
        println!("{engine:?}: debris {debris:.3}, rotation {rotation:.3} rad/s");
        assert!(debris > 0.1 && rotation > 0.5);
    }
}
