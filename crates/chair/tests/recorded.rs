//! Recorded drives: a curve through samples that keeps what was driven.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use lithodrome_chair::{AngleSample, ChairAngles, HeadMotion, Lever, MoveProfile, Step};

fn dix_hallpike() -> HeadMotion {
    let to = |yaw_deg: f64, track_deg: f64| ChairAngles {
        yaw_rad: yaw_deg.to_radians(),
        track_rad: track_deg.to_radians(),
        headrest_flexion_rad: 0.1,
    };
    let steps = vec![
        Step {
            name: "Turn".into(),
            to: to(45.0, 0.0),
            move_s: 2.0,
            hold_s: 5.0,
        },
        Step {
            name: "Lie back".into(),
            to: to(45.0, 120.0),
            move_s: 3.0,
            hold_s: 10.0,
        },
        Step {
            name: "Turn on".into(),
            to: to(135.0, 60.0),
            move_s: 3.0,
            hold_s: 1.0,
        },
    ];
    HeadMotion::new(
        to(0.0, 0.0),
        steps,
        MoveProfile::MinimumJerk,
        Lever::default(),
    )
    .unwrap()
}

fn record(motion: &HeadMotion, every_s: f64, from_s: f64) -> Vec<AngleSample> {
    let n = (motion.duration_s() / every_s).round() as u32;
    (0..=n)
        .map(|i| {
            let t = f64::from(i) * every_s;
            let angles = motion.angles_at(t);
            AngleSample {
                time_s: from_s + t,
                yaw_rad: angles.yaw_rad,
                track_rad: angles.track_rad,
            }
        })
        .collect()
}

#[test]
fn a_recording_gives_back_the_drive() {
    let driven = dix_hallpike();
    let recorded =
        HeadMotion::from_samples(&record(&driven, 0.02, 100.0), 0.1, Lever::default()).unwrap();
    assert!((recorded.duration_s() - driven.duration_s()).abs() < 1e-9);
    for i in 0..=2400 {
        let t = 0.01 * f64::from(i);
        let (a, b) = (driven.at(t), recorded.at(t));
        assert!((a.down_in_head - b.down_in_head).norm() < 1e-5, "{t}");
        let omega = a.angular_velocity_in_head_rad_s - b.angular_velocity_in_head_rad_s;
        assert!(omega.norm() < 5e-3, "{t}: {omega:?}");
    }
}

/// Second-order in the sample distance: half the distance, a quarter of the error in speed.
#[test]
fn finer_samples_give_a_truer_speed() {
    let driven = dix_hallpike();
    let worst = |every_s: f64| {
        let samples = record(&driven, every_s, 0.0);
        let recorded = HeadMotion::from_samples(&samples, 0.1, Lever::default()).unwrap();
        (0..=1000)
            .map(|i| 7.2 + 2.6 * f64::from(i) / 1000.0)
            .map(|t| {
                let (a, b) = (driven.at(t), recorded.at(t));
                (a.angular_velocity_in_head_rad_s - b.angular_velocity_in_head_rad_s).norm()
            })
            .fold(0.0, f64::max)
    };
    let ratio = worst(0.1) / worst(0.05);
    assert!((3.2..4.8).contains(&ratio), "{ratio}");
}

#[test]
fn speed_and_acceleration_have_no_jumps() {
    // Uneven times and a corner: the worst a hand can record.
    let times = [0.0, 0.4, 0.5, 1.1, 1.2, 1.9, 2.5, 2.6, 3.0];
    let samples: Vec<AngleSample> = times
        .iter()
        .enumerate()
        .map(|(i, &time_s)| AngleSample {
            time_s,
            yaw_rad: if i < 4 { 0.3 * i as f64 } else { 0.9 },
            track_rad: (2.0 * time_s).sin(),
        })
        .collect();
    let motion = HeadMotion::from_samples(&samples, 0.0, Lever::default()).unwrap();
    let h = 1e-9;
    for t in times {
        let (before, after) = (motion.at(t - h), motion.at(t + h));
        let speed = after.angular_velocity_in_head_rad_s - before.angular_velocity_in_head_rad_s;
        let acceleration =
            after.angular_acceleration_in_head_rad_s2 - before.angular_acceleration_in_head_rad_s2;
        assert!(speed.norm() < 1e-6, "{t}: {speed:?}");
        assert!(acceleration.norm() < 1e-4, "{t}: {acceleration:?}");
    }
    for sample in &samples {
        let angles = motion.angles_at(sample.time_s);
        assert!((angles.yaw_rad - sample.yaw_rad).abs() < 1e-14);
        assert!((angles.track_rad - sample.track_rad).abs() < 1e-14);
    }
    assert!(motion.at(-1.0).is_at_rest() && motion.at(4.0).is_at_rest());
}

#[test]
fn rests_make_the_steps() {
    let driven = dix_hallpike();
    let samples = record(&driven, 0.05, 0.0);
    let recorded = HeadMotion::from_samples(&samples, 0.1, Lever::default()).unwrap();
    // The last rest, 1 s, is too short for a step of its own, but the recording ends with it.
    assert_eq!(recorded.steps.len(), 3);
    for (found, driven) in recorded.times().iter().zip(driven.times()).take(2) {
        // Minimum jerk creeps at its ends: 30 w² · 40 deg/s is below 1 deg/s for the last 0.09 s; the
        // samples are 0.05 s apart.
        assert!(
            (found.hold_from_s - driven.hold_from_s).abs() < 0.15,
            "{found:?} {driven:?}"
        );
        assert!(
            (found.end_s - driven.end_s).abs() < 0.15,
            "{found:?} {driven:?}"
        );
    }
    assert!((recorded.times()[2].end_s - 24.0).abs() < 1e-9);
    assert!(recorded.is_holding(5.0) && !recorded.is_holding(8.5) && recorded.is_holding(15.0));
    assert_eq!(recorded.step_at(8.5), 1);
    // Where the samples do not change, the head stands exactly still.
    assert!(recorded.at(5.0).is_at_rest() && recorded.at(15.0).is_at_rest());
}

#[test]
fn mistakes_in_a_recording_are_named() {
    let sample = |time_s: f64, yaw_rad: f64| AngleSample {
        time_s,
        yaw_rad,
        track_rad: 0.0,
    };
    let make = |samples: &[AngleSample]| {
        HeadMotion::from_samples(samples, 0.0, Lever::default())
            .unwrap_err()
            .to_string()
    };
    assert_eq!(
        make(&[sample(0.0, 0.0)]),
        "recorded drive: found 1 samples, allowed are 2 or more"
    );
    assert_eq!(
        make(&[sample(0.0, 0.0), sample(0.0, 1.0)]),
        "recorded sample 2: found 0 s, allowed is more than 0 s, the time before it"
    );
    assert_eq!(
        make(&[sample(0.0, 0.0), sample(1.0, f64::NAN)]),
        "recorded sample 2: yaw: found NaN, allowed is a finite number"
    );
}
