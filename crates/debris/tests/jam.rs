//! A clump as wide as the duct stops and carries no flow: the cupula behind it stands still.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use lithodrome_debris::{DebrisGroup, Engine, Physics, Run, Start, Warning};
use lithodrome_labyrinth::{Canal, CanalId, Ear, Region};
use scene::{debris, motion, run};

const ENGINES: [Engine; 2] = [Engine::Settling, Engine::Rigid];

fn signals(run: &Run, canal: Canal) -> (&[f64], &[f64]) {
    let k = CanalId {
        ear: Ear::Right,
        canal,
    }
    .index();
    (&run.debris_signal_rad_s[k], &run.rotation_signal_rad_s[k])
}

fn peak(signal: &[f64]) -> f64 {
    signal.iter().fold(0.0_f64, |m, s| m.max(s.abs()))
}

/// A plug in the posterior duct: that canal does not answer to a turn any more, its weight is the
/// wall's; the other canals answer as before (the crus stays open). Limit β²ζ/(MA²) → ∞ as M → 0.
#[test]
fn a_plugged_canal_feels_neither_turns_nor_weight() {
    let motion = motion((0.0, 0.0), &[(45.0, 120.0, 3.0, 20.0)]);
    let plug = DebrisGroup {
        start: Start::Arc { mm: 7.0 },
        ..debris(Ear::Right, 1, 314.0)
    };
    for engine in ENGINES {
        let open = run(&[], Physics::default(), &motion, engine);
        let shut = run(&[plug], Physics::default(), &motion, engine);
        let of = |run: &Run, canal| {
            let (debris, rotation) = signals(run, canal);
            (peak(debris).to_degrees(), peak(rotation).to_degrees())
        };
        for canal in Canal::ALL {
            let (a, b) = (of(&open, canal), of(&shut, canal));
            println!("{engine:?} {canal:?}: open {a:.3?}, plugged {b:.3?} deg/s");
            match canal {
                Canal::Posterior => assert!(b.1 < 0.01 * a.1 && b.0 < 0.1, "{a:?} {b:?}"),
                _ => assert!((b.1 / a.1 - 1.0).abs() < 0.2 && b.0 < 0.1, "{a:?} {b:?}"),
            }
        }
        let jam = |w: &Warning| matches!(w, Warning::Jam { debris: 0, .. });
        assert!(shut.warnings.iter().all(jam) && shut.warnings.len() == 1);
        let place = shut.tracks[0].place.last().unwrap();
        assert!((place.arc_mm - 7.0).abs() < 1e-3, "{place:?}");
    }
}

/// A clump wider than the duct falls through the ampulla and jams where the duct begins. The cupula
/// keeps most of the deflection that it had then (by debris and by the turn) for a minute, 14 of its time
/// constants. It is a huge one, because the model's cupula has no end of its travel.
/// Turned the other way up, the clump falls back and frees the canal.
#[test]
fn a_wide_clump_jams_at_the_mouth_of_the_duct_and_falls_back() {
    let steps = [
        (45.0, 120.0, 3.0, 60.0),
        (45.0, 0.0, 3.0, 30.0),
        (45.0, -60.0, 3.0, 120.0),
    ];
    let motion = motion((45.0, -60.0), &steps);
    let clump = DebrisGroup {
        start: Start::Arc { mm: 0.6 },
        ..debris(Ear::Right, 1, 330.0)
    };
    for engine in ENGINES {
        let run = run(&[clump], Physics::default(), &motion, engine);
        let track = &run.tracks[0];
        let at = |t: f64| run.time_s.partition_point(|x| *x < t);
        let (debris, rotation) = signals(&run, Canal::Posterior);
        let [early, late] = [6.0, 62.0].map(|t| (debris[at(t)], rotation[at(t)]));
        println!(
            "{engine:?}: 6 s {early:.3?}, 62 s {late:.3?} rad/s, {:?}",
            track.place[at(62.0)]
        );
        assert!(
            early.0 > 1.0 && late.0 > 0.7 * early.0,
            "{early:?} {late:?}"
        );
        assert!(late.1 > 0.7 * early.1, "{early:?} {late:?}");
        assert!(rotation[at(218.0)].abs() < 1e-3 * late.1);
        let jam = |w: &Warning| matches!(w, Warning::Jam { debris: 0, .. });
        assert!(run.warnings.iter().all(jam), "{:?}", run.warnings);
        let jammed = track.place[at(62.0)];
        assert_eq!(jammed.region, Region::Duct(Canal::Posterior));
        assert!(track.place[at(218.0)].arc_mm < jammed.arc_mm - 0.2);
    }
}
