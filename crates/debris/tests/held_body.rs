//! A body that its wall holds pushes the wall, not the fluid.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod rig;

use lithodrome_debris::{DebrisGroup, Physics, Run};
use lithodrome_labyrinth::Ring;
use rig::{BOTH, CANAL, at_angle, hold, resisting, run, turns};

/// By hand: a slope of 12° has the tangent 0.213, so that a resistance of 0.22 holds what one of 0.20 lets
/// roll.
const SLOPE_DEG: f64 = 12.0;

fn clump(ring: &Ring, count: u32, resistance: f64) -> DebrisGroup {
    let lowest_deg = ring.lowest_upright_rad.to_degrees();
    resisting(
        at_angle(ring, count, 50.0, lowest_deg + SLOPE_DEG),
        resistance,
    )
}

/// Debris and rotation signals of the canal, deg/s, at a time.
fn signals_deg_s(run: &Run, time_s: f64) -> [f64; 2] {
    let i = run.time_s.partition_point(|t| *t < time_s - 1e-9);
    let k = CANAL.index();
    [
        &run.debris_signal_rad_s[k][i],
        &run.rotation_signal_rad_s[k][i],
    ]
    .map(|s| s.to_degrees())
}

/// Balance of forces: what the wall takes is not the fluid's. Held, no flow at all; while it rolls, its
/// pressure is that of the weight along the slope less the resistance, (tan θ − μ) / tan θ of what it would
/// be without, here 0.06 for μ = 0.2.
#[test]
fn a_held_body_gives_no_flow() {
    let ring = Ring::default();
    let motion = hold(&ring, ring.lowest_upright_rad.to_degrees(), 20.0);
    for engine in BOTH {
        let [free, slow, held] = [0.0, 0.2, 0.22].map(|resistance| {
            let group = [clump(&ring, 1, resistance)];
            run(&ring, &group, Physics::default(), &motion, engine)
        });
        let after = |run: &Run, time_s| signals_deg_s(run, time_s)[0];
        println!(
            "{engine:?}: after 1 s {:.4}, {:.4}, {:.1e} deg/s",
            after(&free, 1.0),
            after(&slow, 1.0),
            after(&held, 1.0)
        );
        for time_s in [1.0, 5.0, 20.0] {
            assert!(after(&held, time_s).abs() < 1e-9, "{engine:?}");
        }
        let share = 1.0 - 0.2 / SLOPE_DEG.to_radians().tan();
        // In the first second the free body has gone a thirtieth of the way down, the slow one hardly.
        let seen = after(&slow, 1.0) / after(&free, 1.0);
        assert!(
            (seen / share - 1.0).abs() < 0.1,
            "{engine:?}: {seen} {share}"
        );
    }
}

/// Dai et al. 1999, J Vestib Res 9:293: 4.2 s. The cupula, bent by a turn of the head, returns with its own
/// time constant past eight clumps that the wall holds: what they hinder the flow by is below one
/// percent (β²ζ/(f A²) each against the duct's resistance, by hand 0.0005).
#[test]
fn the_cupula_returns_with_its_own_time_constant_past_held_bodies() {
    let ring = Ring::default();
    let motion = turns(0.0, -4.0, &[(4.0, 0.5, 20.0)]);
    for engine in BOTH {
        let group = [clump(&ring, 8, 0.6)];
        let run = run(&ring, &group, Physics::default(), &motion, engine);
        let total = |time_s| signals_deg_s(&run, time_s).iter().sum::<f64>();
        let [debris, turn] = signals_deg_s(&run, 1.0);
        let found_s = 4.2 / (total(1.0) / total(1.0 + 4.2)).ln();
        println!("{engine:?}: {found_s:.4} s, debris {debris:.4} of {turn:.4} deg/s");
        assert!(
            debris.abs() < 0.01 * turn.abs(),
            "{engine:?}: {debris} {turn}"
        );
        assert!(
            (found_s / 4.2 - 1.0).abs() < 0.005,
            "{engine:?}: {found_s} s"
        );
    }
}
