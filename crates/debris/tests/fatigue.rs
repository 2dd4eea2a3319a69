//! Clumps that fall apart while they move and gather at rest: the second of two provoking tests is
//! weaker, and after half an hour it is as strong as the first.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use lithodrome_chair::HeadMotion;
use lithodrome_debris::{DebrisGroup, Dispersal, Engine, Matter, Physics, Rolling, Run};
use lithodrome_labyrinth::{Canal, CanalId, Ear};
use scene::{debris, epley, motion, run};

const POSTERIOR: CanalId = CanalId {
    ear: Ear::Right,
    canal: Canal::Posterior,
};
/// The holds of the three tests, s.
const HOLDS_S: [(f64, f64); 3] = [(3.0, 63.0), (99.0, 159.0), (1962.0, 2022.0)];

/// Up to three Dix-Hallpikes: at once, again after sitting half a minute, and after half an hour.
fn tests_of(count: usize) -> HeadMotion {
    let steps = [
        (45.0, 120.0, 3.0, 60.0),
        (45.0, 0.0, 3.0, 30.0),
        (45.0, 120.0, 3.0, 60.0),
        (45.0, 0.0, 3.0, 1797.0),
        (45.0, 120.0, 3.0, 60.0),
    ];
    motion((45.0, 0.0), &steps[..2 * count - 1])
}

fn clumps(dispersal: Option<Dispersal>, resistance: f64) -> DebrisGroup {
    let rolling = if resistance > 0.0 {
        Rolling::at_gap(0.035).resisting(resistance)
    } else {
        Rolling::default()
    };
    let matter = Matter {
        rolling,
        dispersal,
        ..Matter::default()
    };
    DebrisGroup {
        matter,
        ..debris(Ear::Right, 6, 60.0)
    }
}

/// Largest debris signal of the right posterior canal in each hold, deg/s.
fn peaks_deg_s(run: &Run) -> [f64; 3] {
    HOLDS_S.map(|(from_s, to_s)| {
        run.debris_signal_rad_s[POSTERIOR.index()]
            .iter()
            .zip(&run.time_s)
            .filter(|(_, t)| (from_s..to_s).contains(*t))
            .fold(0.0_f64, |peak, (s, _)| peak.max(s.to_degrees()))
    })
}

fn peaks(dispersal: Option<Dispersal>, resistance: f64, tests: usize, engine: Engine) -> [f64; 3] {
    let motion = tests_of(tests);
    let run = run(
        &[clumps(dispersal, resistance)],
        Physics::default(),
        &motion,
        engine,
    );
    assert!(run.warnings.is_empty(), "{:?}", run.warnings);
    assert_eq!(run.tracks.len(), 6);
    peaks_deg_s(&run)
}

/// Imai et al. 2018 (doi 10.1007/s00405-018-5165-3) saw 48.0 deg/s, then 4.8 (a tenth), and the first
/// strength again after 30 min. The default's 343 pieces are calibrated on that: 0.10 without resistance to
/// rolling, 0.12 with a usual one, where the third test has 0.8 of the first. Fewer and coarser pieces tire
/// less. The first test is stronger than that of whole clumps, because what falls apart on its way loads the
/// cupula longer.
#[test]
fn the_second_test_is_weaker_and_half_an_hour_brings_it_back() {
    let whole = peaks(None, 0.0, 3, Engine::Settling);
    println!("whole {whole:.1?} deg/s");
    assert!((whole[1] / whole[0] - 1.0).abs() < 0.05, "{whole:?}");
    for (pieces, resistance, second, third) in [
        (27.0, 0.0, 0.27, 1.2),
        (343.0, 0.0, 0.10, 1.57),
        (343.0, 0.22, 0.12, 0.81),
    ] {
        let dispersal = Dispersal {
            pieces,
            ..Dispersal::default()
        };
        let peaks = peaks(Some(dispersal), resistance, 3, Engine::Settling);
        let seen = [peaks[1] / peaks[0], peaks[2] / peaks[0]];
        println!(
            "{pieces} pieces, resistance {resistance}: {peaks:.1?} deg/s, over first {seen:.3?}"
        );
        assert!((seen[0] - second).abs() < 0.03, "{seen:?}");
        assert!((seen[1] - third).abs() < 0.1, "{seen:?}");
    }
    let usual = Dispersal::default();
    assert!((usual.pieces - 343.0).abs() < 1e-9);
}

/// What the model cannot have at once: a clump that tires to a tenth is so fine by then that an Epley with
/// holds of a minute, which clears whole clumps, leaves all of it in the canal.
#[test]
fn what_tires_to_a_tenth_does_not_leave() {
    let out = |dispersal| {
        let group = clumps(dispersal, 0.22);
        let motion = epley(Ear::Right, 60.0);
        let run = run(&[group], Physics::default(), &motion, Engine::Settling);
        run.tracks.iter().filter(|t| t.exit_s.is_some()).count()
    };
    let [whole, apart] = [None, Some(Dispersal::default())].map(out);
    println!("out of 6: whole {whole}, that fall apart {apart}");
    assert_eq!((whole, apart), (6, 0));
}

/// The same in the rigid engine, where clumps also push each other.
#[test]
fn both_engines_tire_alike() {
    let dispersal = Some(Dispersal::default());
    let [a, b] = [Engine::Settling, Engine::Rigid].map(|engine| {
        let peaks = peaks(dispersal, 0.0, 2, engine);
        peaks[1] / peaks[0]
    });
    println!("second over first: settling {a:.3}, rigid {b:.3}");
    assert!((a - b).abs() < 0.03, "{a} {b}");
}
