//! What holds debris at rest, and what frees it.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use lithodrome_chair::HeadMotion;
use lithodrome_debris::{
    Adhesion, CupulaFace, DebrisGroup, Engine, EventKind, Matter, Physics, Run, Start,
};
use lithodrome_labyrinth::{Canal, CanalId, Ear, Region, Vec3, frame};
use scene::{debris, labyrinth, motion, run};

const ENGINES: [Engine; 2] = [Engine::Settling, Engine::Rigid];
const POSTERIOR: CanalId = CanalId {
    ear: Ear::Right,
    canal: Canal::Posterior,
};

fn sticking(group: DebrisGroup, adhesion: Adhesion) -> DebrisGroup {
    let matter = Matter {
        adhesion,
        ..group.matter
    };
    DebrisGroup { matter, ..group }
}

/// How far a body is at the end from where it began, mm.
fn moved(run: &Run, body: usize) -> f64 {
    let at = |p: &[f32; 3]| Vec3::from(p.map(f64::from));
    let track = &run.tracks[body].position_in_reid_mm;
    (at(track.last().unwrap()) - at(&track[0])).norm()
}

/// Largest debris signal of the right posterior canal between two times, deg/s.
fn peak_deg_s(run: &Run, from_s: f64, to_s: f64) -> f64 {
    run.debris_signal_rad_s[POSTERIOR.index()]
        .iter()
        .zip(&run.time_s)
        .filter(|(_, t)| (from_s..to_s).contains(*t))
        .fold(0.0_f64, |peak, (s, _)| peak.max(s.to_degrees().abs()))
}

/// Hand calculation: on the lower wall the weight pulls along the duct with the sine of its slope, so
/// a hold a twentieth above that keeps the body and one a twentieth below does not.
#[test]
fn a_body_starts_where_its_weight_along_the_wall_exceeds_the_hold() {
    let mm = 4.0;
    let stand = motion((0.0, 0.0), &[(0.0, 0.0, 1.0, 10.0)]);
    let lab = labyrinth();
    let down_in_reid =
        frame::head_from_reid(lab.reid_pitch_nose_up_rad).inverse() * stand.at(0.0).down_in_head;
    let tangent = lab.ear(Ear::Right).tube(Canal::Posterior).at(mm).1;
    let slope = tangent.dot(&down_in_reid).abs();
    let group = DebrisGroup {
        start: Start::Arc { mm },
        ..debris(Ear::Right, 1, 50.0)
    };
    for engine in ENGINES {
        let [free, held] = [0.95, 1.05].map(|share| {
            let hold = Adhesion {
                wall_g: share * slope,
                ..Adhesion::default()
            };
            moved(
                &run(&[sticking(group, hold)], Physics::default(), &stand, engine),
                0,
            )
        });
        println!("{engine:?}: slope {slope:.3}, moved {free:.4} and {held:.6} mm");
        assert!(free > 0.1, "{engine:?}: {free} mm");
        assert!(held < 1e-6, "{engine:?}: {held} mm");
    }
}

/// A hold that wears under load and needs an hour to grow: the first Dix-Hallpike loosens, the second,
/// five minutes later, frees. That a first test can be empty and the second violent is common practice;
/// the numbers are assumed.
#[test]
fn the_first_test_is_empty_and_the_second_is_not() {
    let motion = motion(
        (45.0, 0.0),
        &[
            (45.0, 120.0, 3.0, 30.0),
            (45.0, 0.0, 3.0, 300.0),
            (45.0, 120.0, 3.0, 60.0),
        ],
    );
    let hold = Adhesion {
        wall_g: 1.2,
        growth_s: 3600.0,
        wear_s: Some(300.0),
        ..Adhesion::default()
    };
    for engine in ENGINES {
        let group = sticking(debris(Ear::Right, 4, 50.0), hold);
        let run = run(&[group], Physics::default(), &motion, engine);
        let first = peak_deg_s(&run, 0.0, 336.0);
        let second = peak_deg_s(&run, 336.0, 399.0);
        println!("{engine:?}: first {first:.3}, second {second:.1} deg/s");
        assert!(first < 0.5, "{engine:?}: {first} deg/s");
        assert!(second > 10.0, "{engine:?}: {second} deg/s");
    }
}

/// By hand: a hold of h times the weight under a load of L times the weight is worn down to the load after
/// (h − L) / L of the wearing time. So a latency of 30 to 50 s, as is seen now and then, is a hold that is a
/// little stronger than the weight; the numbers are assumed.
#[test]
fn a_hold_that_wears_off_gives_a_long_latency() {
    const WEAR_S: f64 = 100.0;
    // Slowly, so that the swing does not pull it off.
    let move_s = 4.0;
    let lie = motion((45.0, 0.0), &[(45.0, 120.0, move_s, 90.0)]);
    let mm = 3.0;
    let lab = labyrinth();
    let reid_from_head = frame::head_from_reid(lab.reid_pitch_nose_up_rad).inverse();
    let tangent = lab.ear(Ear::Right).tube(Canal::Posterior).at(mm).1;
    for hold_g in [1.3, 1.4] {
        let hold = Adhesion {
            wall_g: hold_g,
            growth_s: 1e6,
            wear_s: Some(WEAR_S),
            ..Adhesion::default()
        };
        let group = DebrisGroup {
            start: Start::Arc { mm },
            ..debris(Ear::Right, 1, 50.0)
        };
        // The body lies on the lower wall of the seated patient: what pulls it off or along that wall.
        let seated = reid_from_head * lie.at(0.0).down_in_head;
        let away = -(seated - tangent * seated.dot(&tangent)).normalize();
        let down = reid_from_head * lie.at(50.0).down_in_head;
        let lift = down.dot(&away).max(0.0);
        let load = (down - away * down.dot(&away)).norm().hypot(lift);
        let by_hand_s = (hold_g - load) / load * WEAR_S;
        for engine in ENGINES {
            let run = run(&[sticking(group, hold)], Physics::default(), &lie, engine);
            let first = run.tracks[0].position_in_reid_mm[0];
            let moves = |p: &[f32; 3]| p.iter().zip(&first).any(|(a, b)| (a - b).abs() > 0.01);
            let i = run.tracks[0]
                .position_in_reid_mm
                .iter()
                .position(moves)
                .unwrap();
            let seen_s = run.time_s[i] - move_s;
            println!(
                "{engine:?}, hold {hold_g}: load {load:.3}, {seen_s:.1} s, by hand {by_hand_s:.1} s"
            );
            // While the patient lies down some of it has worn off already.
            assert!(
                (seen_s - by_hand_s).abs() < move_s + 0.5,
                "{engine:?}: {seen_s}"
            );
        }
    }
}

/// Bodies side by side hold each other where one alone slides.
#[test]
fn neighbours_hold_each_other() {
    let stand = motion((0.0, 0.0), &[(0.0, 0.0, 1.0, 10.0)]);
    let hold = Adhesion {
        wall_g: 0.05,
        neighbour_g: 1.0,
        ..Adhesion::default()
    };
    let group = |count| {
        let group = DebrisGroup {
            start: Start::Arc { mm: 4.0 },
            ..debris(Ear::Right, count, 50.0)
        };
        sticking(group, hold)
    };
    for engine in ENGINES {
        let [one, two] =
            [1, 2].map(|count| moved(&run(&[group(count)], Physics::default(), &stand, engine), 0));
        println!("{engine:?}: one moved {one:.4} mm, of two {two:.6} mm");
        assert!(one > 0.1 && two < 1e-6, "{engine:?}: {one} {two} mm");
    }
}

/// The largest pull on the right posterior cupula's canal face, along it and away from it, in multiples
/// of gravity: from the pose of the head, by hand.
fn pull_on_cupula_g(motion: &HeadMotion) -> f64 {
    let lab = labyrinth();
    let head_from_reid = frame::head_from_reid(lab.reid_pitch_nose_up_rad);
    let ear = lab.ear(Ear::Right);
    let away = head_from_reid * ear.canal(Canal::Posterior).cupula.to_duct_in_reid;
    let at = head_from_reid * ear.utricle.centre_in_reid_mm;
    let times = (0..=20_000).map(|i| motion.duration_s() * f64::from(i) / 20_000.0);
    times
        .map(|t| {
            let pose = motion.at(t);
            let pull = pose.down_in_head - pose.acceleration_at_mm_s2(at) / 9810.0;
            let lift = pull.dot(&away);
            (pull - away * lift).norm().hypot(lift.max(0.0))
        })
        .fold(0.0, f64::max)
}

/// A throw frees what gravity leaves on the cupula: with a hold a little above the largest pull nothing
/// happens, with one a little below it lets go, both engines alike.
#[test]
fn a_throw_frees_debris_from_the_cupula() {
    let lie = |move_s| motion((45.0, 0.0), &[(45.0, 120.0, move_s, 20.0)]);
    let (slow, throw) = (lie(4.0), lie(0.8));
    let [slow_g, throw_g] = [&slow, &throw].map(pull_on_cupula_g);
    println!("largest pull: slowly {slow_g:.3} g, thrown {throw_g:.3} g");
    assert!(slow_g < 1.2 && throw_g > 1.3);
    let group = |hold_g: f64| DebrisGroup {
        start: Start::OnCupula {
            face: CupulaFace::Canal,
        },
        matter: Matter {
            attachment_g: Some(hold_g),
            ..Matter::default()
        },
        ..debris(Ear::Right, 3, 50.0)
    };
    let freed = |run: &Run| {
        let count = run
            .events
            .iter()
            .filter(|e| e.kind == EventKind::Detached)
            .count();
        (count, moved(run, 0))
    };
    for engine in ENGINES {
        let one = |hold_g, motion| run(&[group(hold_g)], Physics::default(), motion, engine);
        let slowly = freed(&one(1.2, &slow));
        let below = freed(&one(0.98 * throw_g, &throw));
        let above = freed(&one(1.02 * throw_g, &throw));
        println!("{engine:?}: slowly {slowly:?}, thrown {below:?}, held {above:?}");
        assert_eq!((slowly.0, below.0, above.0), (0, 3, 0));
        assert!(slowly.1 < 1e-6 && above.1 < 1e-6 && below.1 > 0.5);
        let run = one(0.98 * throw_g, &throw);
        assert!(run.warnings.is_empty(), "{:?}", run.warnings);
        for track in &run.tracks {
            let end = track.place.last().unwrap();
            assert_eq!(end.region, Region::Duct(Canal::Posterior));
        }
    }
}
