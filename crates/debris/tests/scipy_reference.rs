//! Both engines against a general ODE solver: numbers of `tests/scipy/ring_reference.py`, which has its
//! own port of the equations, the exact circle, a wall like a stiff spring and LSODA at rtol 1e-10.
//!
//! Settling engine: places within 10 µm and what the body does in 15 ms, ways within 0.5 %, the cupula
//! within 0.5 % of its peak. The rigid engine is held to the same.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod rig;

use lithodrome_chair::HeadMotion;
use lithodrome_debris::{Engine, Physics, Run};
use lithodrome_labyrinth::{Ring, Vec3};
use rig::{CANAL, at_angle, reference_motion, resisting, run, sample};

const STORED: &str = include_str!("../../../tests/scipy/ring_reference.csv");

/// What the solver says at one time.
#[derive(Clone, Copy, Debug)]
struct Row {
    time_s: f64,
    at_mm: Vec3,
    debris_pl: f64,
    turn_pl: f64,
}

/// One stored run.
#[derive(Clone, Debug)]
struct Stored {
    diameter_um: f64,
    friction: f64,
    rows: Vec<Row>,
}

fn numbers(text: &str) -> Vec<f64> {
    text.split(',').map(|x| x.trim().parse().unwrap()).collect()
}

fn stored() -> Vec<Stored> {
    let mut cases: Vec<Stored> = Vec::new();
    let rows = STORED
        .lines()
        .filter(|l| l.starts_with(|c: char| c.is_ascii_digit()));
    for row in rows {
        let n = numbers(row);
        if cases
            .last()
            .is_none_or(|c| (c.diameter_um - n[0]).abs() > 1e-9)
        {
            cases.push(Stored {
                diameter_um: n[0],
                friction: n[1],
                rows: Vec::new(),
            });
        }
        cases.last_mut().unwrap().rows.push(Row {
            time_s: n[2],
            at_mm: Vec3::new(n[3], n[4], n[5]),
            debris_pl: n[6],
            turn_pl: n[7],
        });
    }
    cases
}

fn computed(case: &Stored, motion: &HeadMotion, engine: Engine) -> Run {
    let ring = Ring::default();
    let lowest_deg = ring.lowest_upright_rad.to_degrees() + motion.start.track_rad.to_degrees();
    let group = at_angle(&ring, 1, case.diameter_um, lowest_deg);
    let group = resisting(group, case.friction);
    run(&ring, &[group], Physics::default(), motion, engine)
}

#[test]
fn both_engines_agree_with_a_general_solver() {
    let motion = reference_motion(STORED);
    let cases = stored();
    assert_eq!(cases.len(), 6);
    for case in &cases {
        assert_eq!(case.rows.len(), 151);
        for engine in rig::BOTH {
            let run = computed(case, &motion, engine);
            let k = CANAL.index();
            let volumes = |signal: &[Vec<f64>; 6], i: usize| signal[k][i] * run.pl_per_rad_s[k];
            let most = |f: fn(&Row) -> f64| case.rows.iter().map(f).fold(0.0, f64::max);
            let peaks = [most(|r| r.debris_pl.abs()), most(|r| r.turn_pl.abs())];
            let (mut way_mm, mut worst_um, mut worst_debris, mut worst_turn) =
                (0.0, 0.0_f64, 0.0_f64, 0.0_f64);
            for pair in case.rows.windows(2) {
                let row = pair[1];
                let step_mm = (row.at_mm - pair[0].at_mm).norm();
                way_mm += step_mm;
                let i = sample(&run, row.time_s);
                let at = Vec3::from(run.tracks[0].position_in_reid_mm[i].map(f64::from));
                let off_mm = (at - row.at_mm).norm();
                let speed_mm_s = step_mm / (row.time_s - pair[0].time_s);
                let allowed_mm = 0.010 + 0.015 * speed_mm_s;
                assert!(off_mm < allowed_mm, "{engine:?} {row:?}: {off_mm} mm off");
                let share = 0.005 * way_mm + 1e-3;
                assert!(off_mm < share, "{engine:?} {row:?}: {off_mm} mm off");
                let debris = volumes(&run.debris_signal_rad_s, i) - row.debris_pl;
                let turn = volumes(&run.rotation_signal_rad_s, i) - row.turn_pl;
                worst_um = worst_um.max(off_mm * 1e3);
                worst_debris = worst_debris.max(debris.abs() / peaks[0]);
                worst_turn = worst_turn.max(turn.abs() / peaks[1]);
            }
            println!(
                "{engine:?} {} µm, friction {}: {worst_um:.2} µm off at most on {way_mm:.1} mm; \
                 cupula {:.3} % (debris) and {:.3} % (turns) of the peaks",
                case.diameter_um,
                case.friction,
                worst_debris * 100.0,
                worst_turn * 100.0,
            );
            assert!(worst_debris < 0.005 && worst_turn < 0.005);
        }
    }
}
