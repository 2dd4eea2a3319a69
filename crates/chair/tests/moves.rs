//! Moves of every kind and body: positions, velocities and accelerations belong together.

use std::f64::consts::TAU;

use lithodrome_chair::{
    BedPosture, BodyLengths, ChairAngles, HandPace, HeadMotion, Lever, Motor, Move, MoveProfile,
    MovedStep, NeckAngles, ShakeAxis, Swing, Trunk, room_from_head, throw_time_s,
};
use lithodrome_labyrinth::Vec3;
use nalgebra::Rotation3;

fn angles(yaw_deg: f64, track_deg: f64, flexion_deg: f64) -> ChairAngles {
    ChairAngles {
        yaw_rad: yaw_deg.to_radians(),
        track_rad: track_deg.to_radians(),
        headrest_flexion_rad: flexion_deg.to_radians(),
    }
}

fn step<P>(to: P, move_s: f64, movement: Move) -> MovedStep<P> {
    MovedStep {
        name: "Move".into(),
        to,
        move_s,
        hold_s: 1.0,
        movement,
    }
}

fn shaking(axis: ShakeAxis) -> Move {
    Move {
        profile: MoveProfile::MinimumJerk,
        swing: Some(Swing::Shaking {
            axis,
            amplitude_rad: 0.2,
            frequency_hz: 2.5,
        }),
    }
}

const ALONG: Vec3 = Vec3::new(0.6, 0.0, 0.8);

fn vibrating(amplitude_mm: f64, frequency_hz: f64) -> Move {
    Move {
        profile: MoveProfile::MinimumJerk,
        swing: Some(Swing::Vibration {
            along_in_head: 3.0 * ALONG,
            amplitude_mm,
            frequency_hz,
        }),
    }
}

/// Every kind of move, one after the other, in 4 s each with 1 s of hold.
fn kinds() -> Vec<Move> {
    vec![
        MoveProfile::MinimumJerk.into(),
        MoveProfile::Trapezoid { ramp_share: 0.3 }.into(),
        MoveProfile::Throw { stop_share: 0.15 }.into(),
        shaking(ShakeAxis::Yaw),
        shaking(ShakeAxis::Nod),
        vibrating(2.0, 3.0),
    ]
}

/// Angular velocity and acceleration against the orientation, the centre's acceleration against its
/// place in the room, at times away from the corners of accelerations.
fn consistent(motion: &HeadMotion, place_in_room: &dyn Fn(f64) -> Vec3) {
    let n = motion.times().len();
    for k in 0..n {
        for since_s in [0.11, 0.23, 0.61, 1.05, 1.9, 2.2, 2.9, 3.33, 3.6, 3.85, 4.5] {
            let t = 5.0 * k as f64 + since_s;
            let pose = motion.at(t);
            let h = 1e-5;
            let (before, after) = (motion.at(t - h), motion.at(t + h));
            let m = (before.room_from_head.inverse() * after.room_from_head).into_inner();
            let omega = Vec3::new(m.m32 - m.m23, m.m13 - m.m31, m.m21 - m.m12) / (4.0 * h);
            let off = (omega - pose.angular_velocity_in_head_rad_s).norm();
            assert!(off < 1e-7, "ω at {t}: {off}");
            let alpha = (after.angular_velocity_in_head_rad_s
                - before.angular_velocity_in_head_rad_s)
                / (2.0 * h);
            let off = (alpha - pose.angular_acceleration_in_head_rad_s2).norm();
            assert!(off < 1e-6, "α at {t}: {off}");
            let h = 1e-4;
            let second =
                (place_in_room(t - h) - 2.0 * place_in_room(t) + place_in_room(t + h)) / (h * h);
            let felt = pose.room_from_head * pose.acceleration_in_head_mm_s2;
            // The difference of second order is off by (2πf h)²/12 of what swings at f.
            let most = 5e-3 + 1e-6 * felt.norm();
            assert!((second - felt).norm() < most, "a at {t}: {second} {felt}");
            let down = pose.room_from_head.inverse() * -Vec3::z();
            assert!((down - pose.down_in_head).norm() < 1e-14);
        }
    }
}

/// The way of a vibration by hand: 2 mm at 3 Hz, growing and dying down by minimum jerk over two
/// periods.
fn vibration_mm(since_s: f64, move_s: f64) -> f64 {
    let rise = |u: f64| u * u * u * (10.0 - u * (15.0 - 6.0 * u));
    let ramp_s = 2.0 / 3.0;
    let envelope = rise((since_s / ramp_s).min(1.0)) * rise(((move_s - since_s) / ramp_s).min(1.0));
    2.0 * envelope * (TAU * 3.0 * since_s).sin()
}

fn shift_in_room(motion: &HeadMotion, t: f64) -> Vec3 {
    let k = motion.step_at(t);
    let since_s = t - motion.times()[k].start_s;
    let vibrates = matches!(motion.moves()[k].swing, Some(Swing::Vibration { .. }));
    let way = if vibrates && since_s < 4.0 {
        vibration_mm(since_s, 4.0)
    } else {
        0.0
    };
    motion.at(t).room_from_head * (way * ALONG)
}

#[test]
fn a_chair_moves_as_its_accelerations_say() {
    let mut moves = kinds();
    moves.push(shaking(ShakeAxis::Track));
    let ends = [
        angles(45.0, 0.0, 10.0),
        angles(45.0, 120.0, -20.0),
        angles(135.0, 120.0, -20.0),
        angles(225.0, 90.0, 5.0),
        angles(225.0, 90.0, 25.0),
        angles(270.0, 30.0, 0.0),
        angles(200.0, 0.0, 0.0),
    ];
    let steps = ends.into_iter().zip(moves).map(|(to, m)| step(to, 4.0, m));
    let motion =
        HeadMotion::in_chair(angles(0.0, 0.0, 0.0), steps.collect(), Lever::default()).unwrap();
    consistent(&motion, &|t| {
        let seated = ChairAngles {
            headrest_flexion_rad: 0.0,
            ..motion.at(t).angles
        };
        room_from_head(seated) * Vec3::new(0.0, 0.0, 500.0) + shift_in_room(&motion, t)
    });
    for (i, end) in ends.iter().enumerate() {
        let there = motion.at(5.0 * i as f64 + 4.5);
        assert!(there.is_at_rest());
        assert_eq!(there.angles, *end);
        let off = (there.room_from_head.matrix() - room_from_head(*end).matrix()).amax();
        assert!(off < 1e-14, "{off}");
    }
}

#[test]
fn a_patient_on_a_bed_moves_as_his_accelerations_say() {
    let posture =
        |recline: f64, fall: f64, roll: f64, turn: f64, extend: f64, tilt: f64| BedPosture {
            trunk: Trunk {
                recline_rad: recline,
                fall_left_rad: fall,
                roll_left_rad: roll,
            },
            neck: NeckAngles {
                turn_left_rad: turn,
                extend_rad: extend,
                tilt_left_rad: tilt,
            },
        };
    let ends = [
        posture(0.0, 0.0, 0.0, -0.8, 0.0, 0.1),
        posture(1.5, 0.2, 0.0, -0.8, 0.4, 0.0),
        posture(1.5, 0.0, 0.3, 0.8, 0.4, -0.3),
        posture(1.5, -0.3, 1.5, 0.8, 0.0, 0.0),
        posture(0.0, 0.0, 1.0, 0.8, -0.5, 0.2),
        posture(0.0, 1.0, 0.0, 0.0, 0.0, 0.0),
    ];
    let steps: Vec<_> = ends
        .into_iter()
        .zip(kinds())
        .map(|(to, m)| step(to, 4.0, m))
        .collect();
    let lengths = BodyLengths::default();
    let motion = HeadMotion::on_bed(BedPosture::default(), steps, lengths).unwrap();
    // The same chain by hand, with the shares of the ways by hand too. Nodding moves the head about the
    // neck's root, so that step is left to the check of the chain itself, the others are done here.
    let share = |k: usize, u: f64| match k {
        1 if u < 0.3 => u * u / (2.0 * 0.3 * 0.7),
        1 if u <= 0.7 => (u - 0.15) / 0.7,
        1 => 1.0 - (1.0 - u) * (1.0 - u) / (2.0 * 0.3 * 0.7),
        2 if u < 0.85 => u * u / 0.85,
        2 => 1.0 - (1.0 - u) * (1.0 - u) / 0.15,
        _ => u * u * u * (10.0 - u * (15.0 - 6.0 * u)),
    };
    let nod = |k: usize, since_s: f64| {
        let rise = |u: f64| u * u * u * (10.0 - u * (15.0 - 6.0 * u));
        // Two periods of 0.4 s.
        let envelope = rise((since_s / 0.8).min(1.0)) * rise(((4.0 - since_s) / 0.8).min(1.0));
        if k == 4 && since_s < 4.0 {
            0.2 * envelope * (TAU * 2.5 * since_s).sin()
        } else {
            0.0
        }
    };
    consistent(&motion, &|t| {
        let k = motion.step_at(t);
        let since_s = t - 5.0 * k as f64;
        let from = if k == 0 {
            BedPosture::default()
        } else {
            ends[k - 1]
        };
        let (to, s) = (ends[k], share(k, (since_s / 4.0).min(1.0)));
        let at = |a: f64, b: f64| a + s * (b - a);
        let turn = |axis: Vec3, angle: f64| Rotation3::new(axis * angle);
        let trunk = turn(
            Vec3::x(),
            -at(from.trunk.fall_left_rad, to.trunk.fall_left_rad),
        ) * turn(Vec3::y(), -at(from.trunk.recline_rad, to.trunk.recline_rad))
            * turn(
                Vec3::z(),
                at(from.trunk.roll_left_rad, to.trunk.roll_left_rad),
            );
        let bent = trunk
            * turn(
                Vec3::y(),
                nod(k, since_s) - at(from.neck.extend_rad, to.neck.extend_rad),
            )
            * turn(
                Vec3::x(),
                -at(from.neck.tilt_left_rad, to.neck.tilt_left_rad),
            );
        trunk * Vec3::new(0.0, 0.0, lengths.trunk_mm)
            + bent * Vec3::new(0.0, 0.0, lengths.neck_mm)
            + shift_in_room(&motion, t)
    });
    for (i, end) in ends.iter().enumerate() {
        let there = motion.at(5.0 * i as f64 + 4.5);
        assert!(there.is_at_rest());
        assert!((there.down_in_head - end.down_in_head()).norm() < 1e-14);
        // The angles shown are those of a chair with the same gravity.
        let shown = room_from_head(there.angles).inverse() * -Vec3::z();
        assert!((shown - there.down_in_head).norm() < 1e-12);
    }
}

#[test]
fn a_chair_with_three_axes_moves_as_its_accelerations_say() {
    let ends: Vec<Rotation3<f64>> = [
        (0.0, 0.0, -0.8),
        (1.9, 0.3, -0.8),
        (2.1, -0.5, 0.8),
        (1.5, 0.2, 2.4),
        (0.3, -1.0, 2.0),
        (0.0, 0.0, 0.0),
    ]
    .into_iter()
    .map(|(roll, pitch, yaw)| Rotation3::from_euler_angles(roll, pitch, yaw))
    .collect();
    let steps: Vec<_> = ends
        .iter()
        .zip(kinds())
        .map(|(to, m)| step(*to, 4.0, m))
        .collect();
    let start = Rotation3::identity();
    let motion = HeadMotion::in_three_axes(start, steps, Lever::default()).unwrap();
    consistent(&motion, &|t| {
        let k = motion.step_at(t);
        let room_from_head = motion.at(t).room_from_head;
        // The headrest's nod is about the head's centre and does not carry it; take it out again.
        let nodding = matches!(
            motion.moves()[k].swing,
            Some(Swing::Shaking {
                axis: ShakeAxis::Nod,
                ..
            })
        );
        let long_axis = if nodding {
            let from = ends[k - 1];
            let u = ((t - 5.0 * k as f64) / 4.0).min(1.0);
            let s = u * u * u * (10.0 - u * (15.0 - 6.0 * u));
            (from * (from.inverse() * ends[k]).powf(s)) * Vec3::z()
        } else {
            room_from_head * Vec3::z()
        };
        500.0 * long_axis + shift_in_room(&motion, t)
    });
    for (i, end) in ends.iter().enumerate() {
        let there = motion.at(5.0 * i as f64 + 4.5);
        assert!((there.room_from_head.matrix() - end.matrix()).amax() < 1e-12);
    }
}

/// The straight way between two orientations is a turn about one axis, so gravity in the head goes along
/// a circle about it.
#[test]
fn three_axes_turn_about_one_axis() {
    let to = Rotation3::from_euler_angles(0.7, 1.1, -0.4);
    let steps = vec![step(to, 4.0, Move::default())];
    let motion = HeadMotion::in_three_axes(Rotation3::identity(), steps, Lever::default()).unwrap();
    let axis = to.axis().unwrap();
    for i in 1..40 {
        let pose = motion.at(0.1 * f64::from(i));
        let omega = pose.angular_velocity_in_head_rad_s;
        assert!(omega.cross(&axis).norm() < 1e-12 * omega.norm().max(1.0));
        assert!((pose.down_in_head.dot(&axis) + axis.z).abs() < 1e-12);
    }
}

/// The chair's closed form and the chain of links are the same motion: a vibration of 0 mm takes the way
/// through the chain and changes nothing.
#[test]
fn the_closed_form_and_the_chain_agree() {
    let drive = |movement: Move| {
        let steps = vec![
            step(angles(45.0, 120.0, 20.0), 3.0, movement),
            step(angles(225.0, 100.0, 20.0), 2.0, movement),
        ];
        HeadMotion::in_chair(angles(0.0, -10.0, 20.0), steps, Lever::default()).unwrap()
    };
    let (closed, chain) = (drive(Move::default()), drive(vibrating(0.0, 50.0)));
    for i in 0..70 {
        let t = 0.1 * f64::from(i) + 0.03;
        let (a, b) = (closed.at(t), chain.at(t));
        assert!((a.room_from_head.matrix() - b.room_from_head.matrix()).amax() < 1e-13);
        for (x, y, most) in [
            (
                a.angular_velocity_in_head_rad_s,
                b.angular_velocity_in_head_rad_s,
                1e-12,
            ),
            (
                a.angular_acceleration_in_head_rad_s2,
                b.angular_acceleration_in_head_rad_s2,
                1e-12,
            ),
            (
                a.acceleration_in_head_mm_s2,
                b.acceleration_in_head_mm_s2,
                1e-9,
            ),
        ] {
            assert!((x - y).amax() < most, "{x} {y}");
        }
    }
}

/// Closed forms: 120° at most 60 deg/s and 120 deg/s² take 120/60 + 60/120 = 2.5 s; 20° do not reach
/// the speed (v²/a = 30°) and take 2 √(20/120) = 0.8165 s.
#[test]
fn a_motor_keeps_its_limits_and_takes_the_time_they_need() {
    let motor = Motor {
        speed_rad_s: 60_f64.to_radians(),
        acceleration_rad_s2: 120_f64.to_radians(),
    };
    let least = |deg: f64| motor.least_time_s(deg.to_radians());
    assert!((least(120.0) - 2.5).abs() < 1e-12 && (least(-120.0) - 2.5).abs() < 1e-12);
    assert!((least(20.0) - 0.816_496_58).abs() < 1e-8);
    assert!((least(30.0) - 1.0).abs() < 1e-12 && least(0.0) == 0.0);
    for (turn_deg, move_s) in [(120.0, 2.5), (120.0, 4.0), (20.0, least(20.0)), (20.0, 9.0)] {
        let profile = motor.profile(f64::to_radians(turn_deg), move_s).unwrap();
        let steps = vec![step(angles(0.0, turn_deg, 0.0), move_s, profile.into())];
        let motion = HeadMotion::in_chair(angles(0.0, 0.0, 0.0), steps, Lever::default()).unwrap();
        let (mut speed, mut acceleration) = (0.0_f64, 0.0_f64);
        for i in 0..2000 {
            let pose = motion.at(move_s * (f64::from(i) + 0.5) / 2000.0);
            speed = speed.max(pose.angular_velocity_in_head_rad_s.norm().to_degrees());
            let alpha = pose.angular_acceleration_in_head_rad_s2.norm().to_degrees();
            acceleration = acceleration.max(alpha);
        }
        assert!(speed < 60.0 + 1e-6, "{turn_deg} in {move_s}: {speed}");
        // The acceleration is the motor's own; only the speed adapts to the time.
        assert!(
            (acceleration - 120.0).abs() < 1e-5,
            "{turn_deg} in {move_s}: {acceleration}"
        );
    }
    assert_eq!(motor.profile(120_f64.to_radians(), 2.49), None);
    assert_eq!(motor.profile(20_f64.to_radians(), 0.81), None);
}

/// 120° in 0.8 s with a stop of 0.1 s by hand: the speed rises to 2 · 120/0.8 = 300 deg/s in 0.7 s
/// (428.6 deg/s²) and stops with 3000 deg/s².
#[test]
fn a_throw_stops_abruptly() {
    let throw = MoveProfile::Throw { stop_share: 0.125 };
    let steps = vec![step(angles(45.0, 120.0, 0.0), 0.8, throw.into())];
    let motion = HeadMotion::in_chair(angles(45.0, 0.0, 0.0), steps, Lever::default()).unwrap();
    let speed = |t: f64| {
        motion
            .at(t)
            .angular_velocity_in_head_rad_s
            .norm()
            .to_degrees()
    };
    let alpha = |t: f64| {
        motion
            .at(t)
            .angular_acceleration_in_head_rad_s2
            .norm()
            .to_degrees()
    };
    assert!((speed(0.7) - 300.0).abs() < 1e-6);
    assert!((alpha(0.3) - 3000.0 / 7.0).abs() < 1e-6 && (alpha(0.75) - 3000.0).abs() < 1e-6);
    // Stopping at 3000 deg/s² with a lever of 0.5 m: 52.36 · 500 mm/s² across the long axis.
    let across = motion.at(0.75).acceleration_in_head_mm_s2.xy().norm();
    assert!((across - 26_179.9).abs() < 0.1, "{across}");
    assert!(motion.longest_step_s(0.3) < 0.01 && motion.longest_step_s(1.0).is_infinite());
}

/// In full swing the head's acceleration is that of the oscillator, A (2πf)² = 0.1 mm · (200π)² =
/// 39 478 mm/s², four times gravity, and the head does not turn.
#[test]
fn a_vibration_accelerates_the_head_and_does_not_turn_it() {
    let lying = angles(90.0, 120.0, 0.0);
    let steps = vec![step(lying, 10.0, vibrating(0.1, 100.0))];
    let motion = HeadMotion::in_chair(lying, steps, Lever::default()).unwrap();
    let longest_s = motion.longest_step_s(5.0);
    // Twelve parts of a swing, half way through which the ears feel it too.
    assert!(longest_s <= 1.0 / 1200.0 + 1e-12, "{longest_s}");
    let (mut most, mut mean, n) = (0.0_f64, Vec3::zeros(), 12 * 400);
    for i in 0..n {
        let pose = motion.at(3.0 + f64::from(i) * longest_s);
        assert!(pose.angular_velocity_in_head_rad_s.norm() < 1e-12);
        assert_eq!(pose.angles, lying);
        let a = pose.acceleration_in_head_mm_s2;
        assert!(a.cross(&ALONG).norm() < 1e-6);
        most = most.max(a.norm());
        mean += a / f64::from(n);
    }
    assert!((most - 39_478.4).abs() < 1.0, "{most}");
    assert!(mean.norm() < 1e-6, "{mean}");
}

/// Shaking the track by 3° at 3 Hz swings a head half a metre away by A (2πf)² h = 9302 mm/s².
#[test]
fn shaking_the_track_swings_the_head_at_the_end_of_its_lever() {
    let hanging = angles(45.0, 120.0, 0.0);
    let shake = Move {
        profile: MoveProfile::MinimumJerk,
        swing: Some(Swing::Shaking {
            axis: ShakeAxis::Track,
            amplitude_rad: 3_f64.to_radians(),
            frequency_hz: 3.0,
        }),
    };
    let motion =
        HeadMotion::in_chair(hanging, vec![step(hanging, 10.0, shake)], Lever::default()).unwrap();
    let (mut across, mut low, mut high) = (0.0_f64, f64::MAX, f64::MIN);
    for i in 0..=4000 {
        let pose = motion.at(3.0 + f64::from(i) / 1000.0);
        across = across.max(pose.acceleration_in_head_mm_s2.xy().norm());
        let track_deg = pose.angles.track_rad.to_degrees();
        (low, high) = (low.min(track_deg), high.max(track_deg));
        assert!((pose.angles.yaw_rad - hanging.yaw_rad).abs() < 1e-15);
    }
    assert!((across - 9302.0).abs() < 2.0, "{across}");
    // 3 Hz in steps of a millisecond misses the very top by at most 3 (1 − cos(3π/1000)).
    assert!((low - 117.0).abs() < 1e-3 && (high - 123.0).abs() < 1e-3);
    assert!(motion.at(0.0).is_at_rest() && motion.at(10.0).is_at_rest());
}

/// 110° in 1.8 s is the measured speed of experienced examiners; the typical pace is assumed.
#[test]
fn hands_and_throws_take_their_time() {
    let fast = HandPace::Fast.time_s(110_f64.to_radians());
    assert!((fast - 1.8).abs() < 1e-12);
    let typical = HandPace::Typical.time_s(-120_f64.to_radians());
    assert!((typical - 3.0).abs() < 1e-12);
    assert!((throw_time_s(180_f64.to_radians()) - 1.2).abs() < 1e-12);
    assert!(HandPace::Fast.time_s(0.0) == 0.0 && throw_time_s(0.0) == 0.0);
    assert!((HandPace::Typical.time_s(0.01) - 0.5).abs() < 1e-15);
}
