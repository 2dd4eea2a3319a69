//! How much memory a run takes.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use lithodrome_debris::{Engine, Physics};
use lithodrome_labyrinth::Ear;
use scene::{debris, motion, run};

/// Two hours with 30 bodies, and one with 200: the columns are allocated once, so their size is known
/// before the first step.
#[test]
fn a_two_hour_run_stays_below_100_megabytes() {
    let wait = |hours: f64| motion((0.0, 0.0), &[(0.0, 0.0, 1.0, 3600.0 * hours - 1.0)]);
    for (count, hours) in [(30, 2.0), (200, 1.0)] {
        let group = [debris(Ear::Right, count, 30.0)];
        let run = run(&group, Physics::default(), &wait(hours), Engine::Settling);
        let bytes = run.column_bytes();
        println!(
            "{count} bodies, {hours} h: {:.1} MB in {} samples",
            bytes as f64 / 1e6,
            run.time_s.len()
        );
        assert!(bytes < 100_000_000, "{bytes}");
        assert!(run.time_s.len() > 10_000);
        assert!((run.duration_s - 3600.0 * hours).abs() < 1e-6);
    }
}
