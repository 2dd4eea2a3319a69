//! Gaze, fixation, growth, repetition and the chair's own part, on traces and runs made by hand.

use lithodrome_labyrinth::{Canal, CanalId, Ear, Vec3};
use lithodrome_nystagmus::{
    Cover, EyeTrace, Finding, Judging, Reflex, Watching, eyes_of, eyes_watched, judge, repetitions,
    sentences,
};

use crate::made_run::{debris_in, every, n_exc, run_of};

const RIGHT_DOWN: Vec3 = Vec3::new(-0.612, -0.612, 0.5);
const RIGHT_POSTERIOR: CanalId = CanalId {
    ear: Ear::Right,
    canal: Canal::Posterior,
};

fn looking(right_deg: f64) -> Watching {
    Watching {
        gaze_right_rad: f64::to_radians(right_deg),
        ..Watching::default()
    }
}

fn covered(cover: Cover) -> Watching {
    Watching {
        cover,
        ..Watching::default()
    }
}

/// A trace of the right posterior canal; the chair's own part is zero.
fn trace(fast_deg_s: impl Fn(f64) -> f64) -> EyeTrace {
    let axis = n_exc()[2].normalize();
    let time_s = every(0.05, 60.0);
    let slow: Vec<Vec3> = time_s
        .iter()
        .map(|&t| -axis * fast_deg_s(t).to_radians())
        .collect();
    EyeTrace {
        position_rad: vec![Vec3::zeros(); slow.len()],
        debris_slow_phase_rad_s: slow.clone(),
        slow_phase_rad_s: slow,
        time_s,
    }
}

fn found(eyes: &EyeTrace, watching: Watching) -> Finding {
    let judging = Judging {
        watching,
        ..Judging::default()
    };
    judge(eyes, 0.0, 60.0, RIGHT_DOWN, &judging)
}

/// More torsion looking to the lower ear, more vertical looking away (von Brevern 2015, J Vestib Res
/// 25:105, from memory). By hand, with the canal's axis (0.694, −0.667, 0.271) and the line of sight
/// turned by g to the right: torsion 0.694 cos g + 0.667 sin g, up 0.667 cos g − 0.694 sin g.
#[test]
fn gaze_toward_the_lower_ear_makes_it_more_torsional() {
    let eyes = trace(|_| 30.0);
    for (gaze_deg, torsion, up) in [
        (0.0, 0.694, 0.667),
        (30.0, 0.9345, 0.2306),
        (-30.0, 0.2675, 0.9246),
    ] {
        let [v, t, h] = found(&eyes, looking(gaze_deg)).peak_components_rad_s;
        let share = |x: f64| x.to_degrees() / 30.0;
        assert!(
            (share(t) - torsion).abs() < 2e-3,
            "{gaze_deg}: {}",
            share(t)
        );
        assert!((share(v) - up).abs() < 2e-3, "{gaze_deg}: {}", share(v));
        // The horizontal part is about the upright axis of the eye, which this gaze does not move.
        assert!((share(h) + 0.271).abs() < 2e-3, "{gaze_deg}: {}", share(h));
    }
}

/// By hand: fixation takes 0.7 of what runs across the line of sight and nothing of the torsion, up to
/// 40 deg/s across; above, always 28 deg/s. In the dark nothing changes.
#[test]
fn fixation_takes_the_slow_phase_across_the_line_of_sight_only() {
    let slow = |v: [f64; 3]| Vec3::from(v).map(f64::to_radians);
    let rows = [
        (Cover::InfraredVideo, [10.0, 20.0, 0.0], [10.0, 20.0, 0.0]),
        (Cover::Frenzel, [10.0, 20.0, 0.0], [10.0, 16.0, 0.0]),
        (Cover::OpenLight, [10.0, 20.0, 0.0], [10.0, 6.0, 0.0]),
        (Cover::OpenLight, [10.0, 0.0, -20.0], [10.0, 0.0, -6.0]),
        (Cover::OpenLight, [0.0, 100.0, 0.0], [0.0, 72.0, 0.0]),
        (Cover::OpenLight, [0.0; 3], [0.0; 3]),
    ];
    for (cover, dark, expected) in rows {
        let left = covered(cover).left_by_fixation(slow(dark));
        assert!((left - slow(expected)).norm() < 1e-12, "{cover:?} {dark:?}");
    }
    // Looking 90° to the right, +x is across the line of sight and −y along it.
    let aside = Watching {
        cover: Cover::OpenLight,
        ..looking(90.0)
    };
    let left = aside.left_by_fixation(slow([10.0, 20.0, 0.0]));
    assert!((left - slow([3.0, 20.0, 0.0])).norm() < 1e-12);
}

/// A weak horizontal nystagmus is seen under goggles and not in open light.
#[test]
fn what_is_seen_under_goggles_may_not_be_seen_in_open_light() {
    let times = every(0.05, 60.0);
    let lateral = CanalId {
        ear: Ear::Right,
        canal: Canal::Lateral,
    };
    let run = debris_in(lateral, &times, |_| 6.0);
    let words = |cover| {
        let watching = covered(cover);
        let judging = Judging {
            watching,
            ..Judging::default()
        };
        let eyes = eyes_watched(&run, &Reflex::default(), watching);
        let finding = judge(&eyes, 0.0, 20.0, Vec3::new(0.0, -1.0, 0.0), &judging);
        sentences(&finding, &judging).join(" ")
    };
    let dark = words(Cover::InfraredVideo);
    assert!(
        dark.contains("Seen under infrared video goggles."),
        "{dark}"
    );
    let light = words(Cover::OpenLight);
    assert!(
        light.starts_with("Not seen in open light: at most 2."),
        "{light}"
    );
    assert!(light.ends_with("seen from 3°/s."), "{light}");
}

#[test]
fn growth_is_told_from_a_nystagmus_that_begins_at_its_peak() {
    let grows = trace(|t| {
        if t < 8.0 {
            5.0 * t
        } else {
            40.0 * (-(t - 8.0) / 4.0).exp()
        }
    });
    let falls = trace(|t| 40.0 * (-t / 4.0).exp());
    let quick = trace(|t| {
        if t < 0.5 {
            80.0 * t
        } else {
            40.0 * (-(t - 0.5) / 4.0).exp()
        }
    });
    // Rises for long, but from three quarters of its peak.
    let strong = trace(|t| {
        if t < 8.0 {
            30.0 + 1.25 * t
        } else {
            40.0 * (-(t - 8.0) / 4.0).exp()
        }
    });
    for (eyes, crescendo) in [
        (grows, true),
        (falls, false),
        (quick, false),
        (strong, false),
    ] {
        let finding = found(&eyes, Watching::default());
        assert_eq!(finding.crescendo, crescendo, "{finding:?}");
        let words = sentences(&finding, &Judging::default()).join(" ");
        assert_eq!(words.contains("grows to its peak"), crescendo, "{words}");
        assert!(words.contains("time constant of 4.0 s"), "{words}");
    }
}

/// The chair's part is told by itself: debris is silent, the head's turning is not.
#[test]
fn the_turning_of_the_chair_is_told_apart() {
    let times = every(0.05, 60.0);
    let turning = |id: CanalId, t: f64| {
        if id == RIGHT_POSTERIOR {
            -20.0 * (-t / 4.0).exp()
        } else {
            0.0
        }
    };
    let run = run_of(&times, |_, _| 0.0, turning);
    let finding = found(&eyes_of(&run, &Reflex::default()), Watching::default());
    assert!(!finding.is_seen() && finding.peak_spv_rad_s == 0.0);
    // Inhibition: 20 deg/s by its share of 0.28 and the gain of 0.9.
    let expected_deg_s = 20.0 * 0.28 * 0.9;
    assert!((finding.turning_peak_rad_s.to_degrees() - expected_deg_s).abs() < 0.02);
    let words = sentences(&finding, &Judging::default()).join(" ");
    assert!(
        words.contains("The chair's turning adds up to 5°/s"),
        "{words}"
    );
}

/// A second Dix-Hallpike with a tenth of the first peak (4.8 after 48 deg/s, Imai 2018, Eur Arch
/// Otorhinolaryngol, read) is fatigued; another position or another beat is no repetition.
#[test]
fn a_repeated_position_is_compared_with_the_first() {
    let of = |deg_s: f64| found(&trace(|_| deg_s), Watching::default());
    let up = Vec3::new(0.0, 0.0, -1.0);
    let findings = [of(48.0), of(-20.0), of(4.8), of(0.0), of(-30.0), of(47.0)];
    let downs = [
        RIGHT_DOWN, up, RIGHT_DOWN, RIGHT_DOWN, RIGHT_DOWN, RIGHT_DOWN,
    ];
    let repeats = repetitions(&findings, &downs);
    assert_eq!(repeats[0], None);
    assert_eq!(repeats[1], None);
    let weak = repeats[2].unwrap();
    assert_eq!(weak.of_step, 0);
    assert!((weak.peak_share - 0.1).abs() < 1e-9 && weak.is_fatigued());
    assert!(repeats[3].unwrap().is_fatigued());
    assert_eq!(repeats[4], None);
    assert!(!repeats[5].unwrap().is_fatigued());
    // An empty first test is no measure for the second.
    let late = repetitions(&[of(0.0), of(40.0), of(20.0)], &[RIGHT_DOWN; 3]);
    assert_eq!(late[1], None);
    assert_eq!(late[2].unwrap().of_step, 1);
}
