//! The same manoeuvres in the chair, on a bed with a neck, and in a chair with three axes; and moves
//! other than the hand's.

use std::path::{Path, PathBuf};

use lithodrome_chair::ShakeAxis;
use lithodrome_rehearsal::{
    Carrier, Limit, LimitBreach, Limits, MoveEntry, NeckLimits, Rehearsed, Scenario, SkullPlace,
    StepEntry, all_breaches, breaches_of_angles, compile, read_scenario, rehearse,
    scenario_from_ron,
};

fn shipped(name: &str) -> Scenario {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    read_scenario(&folder.join(format!("{name}.ron"))).unwrap()
}

fn run(scenario: &Scenario) -> Rehearsed {
    rehearse(&compile(scenario, Path::new("")).unwrap()).unwrap()
}

/// The scenario with other debris and other holds, s; holds below 10 s stay.
fn with(mut scenario: Scenario, diameter_um: f64, hold_s: f64) -> Scenario {
    for entry in &mut scenario.debris {
        entry.diameter_um = diameter_um;
    }
    for step in scenario.steps.iter_mut().filter(|s| s.hold_s > 10.0) {
        step.hold_s = hold_s;
    }
    scenario
}

fn cleared(name: &str, diameter_um: f64, hold_s: f64) -> bool {
    run(&with(shipped(name), diameter_um, hold_s))
        .report
        .all_out()
}

const CHAIR: &str = "right-posterior-epley-heavy-load";
const HEALTHY: &str = "right-posterior-epley-bedside";
const STIFF: &str = "right-posterior-epley-bedside-stiff-neck";

/// A neck that bends back 10° and turns 30° does not clear what chair and healthy neck clear with the same
/// 30 s holds: such patients are sent to a chair (24 of 34 for their necks, Ann Otol Rhinol Laryngol
/// 2018;127:390). The model makes it a matter of time, not of principle: gravity drives the debris along
/// less steeply, so it has not passed the top when the head is turned and slides back. It holds for
/// clumps of about 27.5 to 29.5 µm in the mean ear; larger ones are fast enough for the stiff neck too, see
/// below.
#[test]
fn a_stiff_neck_fails_at_the_bedside_where_chair_and_healthy_neck_succeed() {
    let debris_um = shipped(STIFF).debris[0].diameter_um;
    assert_eq!(shipped(STIFF).debris, shipped(HEALTHY).debris);
    assert!(cleared(CHAIR, debris_um, 30.0));
    let healthy = run(&shipped(HEALTHY)).report;
    assert!(
        healthy.all_out() && healthy.warnings.is_empty(),
        "{:?}",
        healthy.warnings
    );
    let stiff = run(&shipped(STIFF)).report;
    assert!(!stiff.all_out());
    assert!(
        stiff
            .debris
            .iter()
            .all(|d| d.end_region == "posterior duct")
    );
    // Named before the run, too, with step, wanted and reached. By hand the Dix-Hallpike wants
    // (−cos 20° cos 45°, −cos 20° sin 45°, sin 20°) and gets the same of 10° and 30°: 17.6° apart.
    let named = compile(&shipped(STIFF), Path::new("")).unwrap().shortfalls;
    assert_eq!(
        named.iter().map(|s| s.step).collect::<Vec<_>>(),
        [1, 2, 3, 4]
    );
    assert!((named[0].apart_deg - 17.6).abs() < 0.05, "{named:?}");
    assert_eq!(
        stiff.warnings[0],
        "step 2 (Lie back, head below the horizontal): the head comes within 17.6° of the wanted \
         direction, wanted is gravity along (-0.66, -0.66, 0.34), reached (-0.85, -0.49, 0.17) (body.neck)"
    );
    assert_eq!(stiff.warnings.len(), 4);
}

/// What the failure is made of: the shortest holds that clear 50 µm clumps are 6 s or less in the chair,
/// 8 s with a healthy neck, 8 to 10 s with the stiff one (mean ear). With the usual 30 s all
/// three clear them; the model does not say that a stiff neck fails always.
#[test]
fn a_stiff_neck_needs_longer_holds() {
    for (name, too_short_s, enough_s) in
        [(CHAIR, 3.0, 6.0), (HEALTHY, 7.0, 8.0), (STIFF, 7.0, 10.0)]
    {
        let with_hold = |hold_s| cleared(name, 50.0, hold_s);
        assert!(!with_hold(too_short_s), "{name} {too_short_s}");
        assert!(with_hold(enough_s), "{name} {enough_s}");
        assert!(with_hold(30.0), "{name}");
    }
}

/// The neck's range alone makes the difference: the stiff scenario with a healthy range is the healthy
/// scenario, step for step.
#[test]
fn only_the_neck_differs_between_the_bedside_scenarios() {
    let mut stiff = shipped(STIFF);
    let healthy = shipped(HEALTHY);
    assert_ne!(stiff.body, healthy.body);
    stiff.body = healthy.body;
    assert_eq!(stiff.steps, healthy.steps);
    assert!(run(&stiff).report.all_out());
}

/// Head directions of the whole-body Epley (Front Neurol 2023;14:1239959, Fig 1) in every body that can
/// have them. Nobody's neck hangs 30° below the horizontal with the nose 45° down, but trunk and neck
/// together come as near as they can.
#[test]
fn head_directions_alone_make_a_manoeuvre_in_every_body() {
    let text = r#"(format: 1, title: "Directions",
        debris: [(ear: Right, canal: Posterior, at: AmpullaryArm, count: 2, diameter_um: 50.0)],
        steps: [
            (name: "Sit", down_in_head: (0.0, 0.0, -1.0), move_s: 1.0, hold_s: 2.0),
            (name: "Hang right", down_in_head: (-0.612, -0.612, 0.500), move_s: 3.0, hold_s: 30.0),
            (name: "Hang left", down_in_head: (-0.612, 0.612, 0.500), move_s: 3.0, hold_s: 30.0),
            (name: "Nose down", down_in_head: (0.612, 0.612, 0.500), move_s: 3.0, hold_s: 30.0),
            (name: "Sit up", down_in_head: (0.0, 0.0, -1.0), move_s: 4.0, hold_s: 20.0),
        ])"#;
    let mut scenario = scenario_from_ron(text, Path::new("directions.ron")).unwrap();
    for body in [
        Carrier::Chair,
        Carrier::ThreeAxes,
        Carrier::Bedside {
            neck: NeckLimits::default(),
        },
    ] {
        scenario.body = Some(body);
        let compiled = compile(&scenario, Path::new("")).unwrap();
        for (step, times) in scenario.steps.iter().zip(compiled.motion.times()) {
            let reached = compiled.motion.at(times.hold_from_s).down_in_head;
            let wanted = nalgebra::Vector3::from(step.down_in_head.unwrap()).normalize();
            assert!((reached - wanted).norm() < 1e-6, "{body:?}: {}", step.name);
        }
        assert!(compiled.shortfalls.is_empty(), "{body:?}");
        let report = rehearse(&compiled).unwrap().report;
        assert!(report.all_out(), "{body:?}");
        if body == Carrier::Chair {
            // Yaw is set while the patient still sits, so the way back is one of the track alone.
            let angles: Vec<_> = report
                .steps
                .iter()
                .map(|s| (s.yaw_deg.round(), s.track_deg.round()))
                .collect();
            assert_eq!(
                angles,
                [
                    (45.0, 0.0),
                    (45.0, 120.0),
                    (135.0, 120.0),
                    (225.0, 120.0),
                    (225.0, 0.0)
                ]
            );
        }
    }
}

/// The free way of three axes: from a left to a right head-hanging gravity goes along the great circle,
/// through the point halfway.
#[test]
fn three_axes_go_straight_where_two_cannot() {
    let text = r#"(format: 1, title: "Straight", body: ThreeAxes, chair: (yaw_deg: 45.0, track_deg: 120.0),
        steps: [(name: "Across", down_in_head: (0.612, 0.612, 0.500), move_s: 4.0, hold_s: 1.0)])"#;
    let scenario = scenario_from_ron(text, Path::new("straight.ron")).unwrap();
    let motion = compile(&scenario, Path::new("")).unwrap().motion;
    // Between (−a, −a, ½) and (a, a, ½) lies the crown: the patient passes through inverted.
    let half_way = motion.at(2.0).down_in_head;
    assert!(
        (half_way - nalgebra::Vector3::z()).norm() < 1e-3,
        "{half_way}"
    );
}

fn hanging(movement: MoveEntry, move_s: f64) -> Scenario {
    let mut scenario = shipped("right-dix-hallpike");
    scenario.steps.truncate(2);
    scenario.steps.push(StepEntry {
        name: "Loosen".to_owned(),
        movement: Some(movement),
        move_s,
        hold_s: 5.0,
        ..StepEntry::default()
    });
    scenario
}

/// Shaking ends where it began, and debris hears of it: the acceleration at the ear is not in the angles
/// alone. The same run without shaking has another course.
#[test]
fn shaking_and_vibration_reach_the_debris_and_end_at_rest() {
    let shake = MoveEntry::Shaking {
        axis: ShakeAxis::Track,
        amplitude_deg: 3.0,
        frequency_hz: 3.0,
    };
    let vibrate = MoveEntry::Vibration {
        at: SkullPlace::Mastoid(lithodrome_labyrinth::Ear::Right),
        amplitude_mm: 0.1,
        frequency_hz: 100.0,
    };
    let still = run(&hanging(
        MoveEntry::Hand {
            pace: lithodrome_chair::HandPace::Typical,
        },
        4.0,
    ));
    for movement in [shake, vibrate] {
        let scenario = hanging(movement, 4.0);
        let compiled = compile(&scenario, Path::new("")).unwrap();
        let shaken = rehearse(&compiled).unwrap();
        assert!(
            shaken.report.warnings.is_empty(),
            "{:?}",
            shaken.report.warnings
        );
        let (a, b) = (&shaken.report.steps[2], &still.report.steps[2]);
        assert!(
            a.down_in_head
                .iter()
                .zip(b.down_in_head)
                .all(|(x, y)| (x - y).abs() < 1e-9)
        );
        assert_eq!((a.yaw_deg, a.track_deg), (b.yaw_deg, b.track_deg));
        // Finely sampled: the vibration has 100 swings a second for 4 s, with 12 samples in each.
        if let MoveEntry::Vibration { .. } = movement {
            assert!(shaken.run.work.steps > 4_500, "{}", shaken.run.work.steps);
        }
        let way = |rehearsed: &Rehearsed| {
            let tracks = &rehearsed.run.tracks;
            tracks
                .iter()
                .map(|t| f64::from(*t.course_mm.last().unwrap()))
                .sum::<f64>()
        };
        assert!((way(&shaken) - way(&still)).abs() > 1e-4, "{movement:?}");
    }
}

/// The time of a motor follows from its limits: 120/60 + 60/120 = 2.5 s for 120°.
#[test]
fn a_motor_takes_its_time_and_says_when_it_is_asked_for_less() {
    let with_move = |move_s: f64, movement: MoveEntry| {
        let mut scenario = shipped("right-dix-hallpike");
        scenario.steps[1].movement = Some(movement);
        scenario.steps[1].move_s = move_s;
        scenario
    };
    let motor = MoveEntry::Motor {
        speed_deg_s: 60.0,
        acceleration_deg_s2: 120.0,
    };
    let compiled = compile(&with_move(0.0, motor), Path::new("")).unwrap();
    let times = compiled.motion.times()[1];
    assert!((times.hold_from_s - times.start_s - 2.5).abs() < 1e-9);
    assert!((compiled.motion.duration_s() - compiled.scenario.duration_s()).abs() < 1e-9);
    let error = compile(&with_move(2.0, motor), Path::new("")).unwrap_err();
    assert_eq!(
        error.to_string(),
        "step 2, time of the move, steps[2].move_s: found 2, allowed is 2.500 s or more for a turn of 120° with at most 60 deg/s and \
         120 deg/s², or 0 for the shortest time"
    );
    // A hand's fast pace is 110° in 1.8 s, a throw's 150 deg/s.
    for (movement, expected_s) in [
        (
            MoveEntry::Hand {
                pace: lithodrome_chair::HandPace::Fast,
            },
            120.0 / 110.0 * 1.8,
        ),
        (MoveEntry::Throw { stop_s: 0.1 }, 0.8),
    ] {
        let times = compile(&with_move(0.0, movement), Path::new(""))
            .unwrap()
            .motion
            .times()[1];
        assert!(
            (times.hold_from_s - times.start_s - expected_s).abs() < 1e-9,
            "{movement:?}"
        );
    }
    let error = compile(
        &with_move(0.4, MoveEntry::Throw { stop_s: 0.4 }),
        Path::new(""),
    )
    .unwrap_err();
    assert_eq!(
        error.to_string(),
        "step 2, time of the move, steps[2].move_s: found 0.4, allowed is more than 0.4 s, the time of the throw's stop alone"
    );
}

/// Limits by the angles of a plan alone: yaw 225° and 30° below the horizontal for three holds and two
/// moves between them (the hand's 3 s each), 96 s by hand.
#[test]
fn limits_are_known_from_the_angles_before_a_motion_is_made() {
    let mut scenario = shipped(CHAIR);
    scenario.limits = Some(Limits {
        head_down_deg: Some(25.0),
        inverted_s: Some(60.0),
        yaw_deg: Some(180.0),
        speed_deg_s: Some(35.0),
        ..Limits::default()
    });
    let told = breaches_of_angles(&scenario).unwrap();
    let of = |limit| told.iter().filter(|b| b.limit == limit).collect::<Vec<_>>();
    let steps = |limit| of(limit).iter().map(|b| b.step + 1).collect::<Vec<_>>();
    assert_eq!(steps(Limit::HeadDown), [2, 3, 4]);
    assert!(
        of(Limit::HeadDown)
            .iter()
            .all(|b| (b.found - 30.0).abs() < 1e-9)
    );
    assert_eq!(steps(Limit::Inverted), [3, 4]);
    assert!((of(Limit::Inverted)[1].found - 96.0).abs() < 1e-9);
    assert_eq!(steps(Limit::Yaw), [4, 5]);
    // 120° in 3 s is 40 deg/s on average, the turns of 90° are slower.
    assert_eq!(steps(Limit::Speed), [2]);
    // The motion breaks all of them, and worse.
    let motion = compile(&scenario, Path::new("")).unwrap().motion;
    let moved = all_breaches(&scenario, &motion);
    for breach in &told {
        let there = |m: &&LimitBreach| (m.limit, m.step) == (breach.limit, breach.step);
        let same = moved.iter().find(there).unwrap();
        assert!(same.found > breach.found - 1e-9, "{breach:?}");
    }
}
