//! Dix-Hallpike on the ring: the lowest point goes from 25° to 125° in 1.5 s.
//!
//! The expected numbers were derived with a grain that rolls on one line all the way. In the ring it
//! lies on a wall: in the ampulla it falls where that line makes it roll, and so comes into the duct
//! about 2 s earlier. What concerns the afferent or the eye only is left out.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod rig;

use std::f64::consts::E;

use approx::assert_relative_eq;
use lithodrome_chair::HeadMotion;
use lithodrome_debris::{Engine, Physics, Run};
use lithodrome_labyrinth::Ring;
use rig::{
    BOTH, CANAL, angle_deg, at_angle, hold, no_entrainment, peak, run, sample, signal_deg_s, turns,
};

/// A clinically visible slow phase needs about this much, deg/s (Squires et al. 2004: felt from 2).
const THRESHOLD_DEG_S: f64 = 2.0;
/// Before the face of the cupula.
const BY_THE_CUPULA_DEG: f64 = 5.0;
/// Where the slender duct begins.
const IN_THE_DUCT_DEG: f64 = 28.0;

fn hallpike() -> HeadMotion {
    turns(0.0, 0.0, &[(100.0, 1.5, 90.0)])
}

fn lie_back(count: u32, diameter_um: f64, from_deg: f64, engine: Engine) -> Run {
    let ring = Ring::default().with_ampulla();
    let group = at_angle(&ring, count, diameter_um, from_deg);
    run(&ring, &[group], Physics::default(), &hallpike(), engine)
}

/// What a signal over time shows.
#[derive(Clone, Copy, Debug)]
#[allow(clippy::struct_field_names, reason = "units")]
struct Seen {
    from_s: f64,
    peak_s: f64,
    peak_deg_s: f64,
    /// To 1/e of the peak.
    decay_s: f64,
    to_s: f64,
}

fn seen(run: &Run) -> Seen {
    let signal = signal_deg_s(run);
    let (peak_s, peak_deg_s) = peak(&run.time_s, &signal);
    let above = |x: &f64| *x > THRESHOLD_DEG_S;
    let at_peak = sample(run, peak_s);
    let fallen = signal[at_peak..]
        .iter()
        .position(|x| *x < peak_deg_s / E)
        .unwrap();
    Seen {
        from_s: run.time_s[signal.iter().position(above).unwrap()],
        peak_s,
        peak_deg_s,
        decay_s: run.time_s[at_peak + fallen] - peak_s,
        to_s: run.time_s[signal.iter().rposition(above).unwrap()],
    }
}

/// Four clumps of 50 µm: peak 38.7 deg/s, below 2 deg/s after 42 s, at rest at 123.7° then (± 1 %,
/// derived); twice as many bend the cupula twice as far. Not so: the latency of 3.6 s and the peak at
/// 11.2 s are 2.6 and 9.3 s here (see above).
#[test]
fn four_clumps_of_50_um() {
    let ring = Ring::default().with_ampulla();
    for engine in BOTH {
        let run = lie_back(4, 50.0, BY_THE_CUPULA_DEG, engine);
        let four = seen(&run);
        println!("{engine:?}: {four:.2?}");
        assert_relative_eq!(four.peak_deg_s, 38.7, max_relative = 0.01);
        assert!((38.0..43.0).contains(&four.to_s));
        assert!((2.0..3.6).contains(&four.from_s));
        assert!((9.0..11.2).contains(&four.peak_s));
        for track in &run.tracks {
            // In the rigid engine they lie side by side: 4 of 50 µm are 3.6°.
            let end = angle_deg(&ring, track, sample(&run, 42.0));
            assert!((end - 123.7).abs() < 0.01 * 123.7 + 1.8, "{end}");
        }
        let eight = seen(&lie_back(8, 50.0, BY_THE_CUPULA_DEG, engine));
        println!("{engine:?}: {eight:.2?}");
        assert_relative_eq!(eight.peak_deg_s / four.peak_deg_s, 2.0, max_relative = 0.03);
    }
}

/// Decay to 1/e: 13.9, 7.9 and 5.8 s for 50, 80 and 120 µm (derived, ± 3 %); the clinic has 3.7 ± 1.8 s
/// (Front Neurol 2020;11:260), so only the largest agree with it. Peaks: 8.4 s for 50 µm from the duct and
/// 6.0 s for 80 µm from the ampulla (derived, ± 4 %); a patient had it between 6 and 10 s (Obrist &
/// Hegemann 2008, J R Soc Interface, Fig 1). Attacks end within a minute (Bárány criteria, from memory).
#[test]
fn size_sets_decay_and_peak_time() {
    for engine in BOTH {
        for (diameter_um, decay_s) in [(50.0, 13.9), (80.0, 7.9), (120.0, 5.8)] {
            for from_deg in [BY_THE_CUPULA_DEG, IN_THE_DUCT_DEG] {
                let found = seen(&lie_back(1, diameter_um, from_deg, engine));
                println!("{engine:?} {diameter_um} µm from {from_deg}°: {found:.2?}");
                assert_relative_eq!(found.decay_s, decay_s, max_relative = 0.035);
                assert!((20.0..60.0).contains(&found.to_s));
            }
        }
        let from_duct = seen(&lie_back(1, 50.0, IN_THE_DUCT_DEG, engine)).peak_s;
        let from_ampulla = seen(&lie_back(1, 80.0, BY_THE_CUPULA_DEG, engine)).peak_s;
        assert_relative_eq!(from_duct, 8.4, max_relative = 0.04);
        assert_relative_eq!(from_ampulla, 6.0, max_relative = 0.04);
    }
}

/// The turn itself, apart from debris: +114 deg/s, then a rebound of −19 (derived: 100° / 4.2 s less what
/// has come back; ± 6 %). The sum has the debris' sign for good from 4.5 s in the derivation, from 3.3 s
/// here, as the clumps are in the duct sooner.
#[test]
fn the_turn_excites_first_and_rebounds() {
    for engine in BOTH {
        let run = lie_back(4, 50.0, BY_THE_CUPULA_DEG, engine);
        let turn: Vec<f64> = run.rotation_signal_rad_s[CANAL.index()]
            .iter()
            .map(|s| s.to_degrees())
            .collect();
        let (_, most) = peak(&run.time_s, &turn);
        let least = turn.iter().fold(0.0_f64, |a, b| a.min(*b));
        let debris = signal_deg_s(&run);
        let last_below = (0..turn.len()).rev().find(|i| turn[*i] + debris[*i] < 0.0);
        let from_s = run.time_s[last_below.unwrap()];
        println!("{engine:?}: {most:.1}, {least:.1} deg/s, debris wins from {from_s:.2} s");
        assert_relative_eq!(most, 114.0, max_relative = 0.01);
        assert_relative_eq!(least, -19.0, max_relative = 0.06);
        assert!((2.5..4.5).contains(&from_s));
    }
}

/// Debris hardly acts on itself through the flow that it makes: below 0.1 % of the peak (derived −0.01 %).
#[test]
fn feedback_of_the_flow_on_debris_is_small() {
    let ring = Ring::default();
    let motion = hold(&ring, 120.0, 30.0);
    let group = at_angle(&ring, 1, 50.0, 40.0);
    for engine in BOTH {
        let [with, without] = [Physics::default(), no_entrainment()].map(|physics| {
            let run = run(&ring, &[group], physics, &motion, engine);
            peak(&run.time_s, &signal_deg_s(&run)).1
        });
        println!("{engine:?}: {:.4} %", (with / without - 1.0) * 100.0);
        assert!((with / without - 1.0).abs() < 1e-3);
    }
}
