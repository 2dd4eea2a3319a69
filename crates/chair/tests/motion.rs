//! The head's motion over time: derivatives, inertial accelerations, holds, mistakes.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use lithodrome_chair::{
    ChairAngles, HeadMotion, HeadPose, Lever, MotionError, MoveProfile, Step, down_in_head,
    room_from_head,
};
use lithodrome_labyrinth::Vec3;
use proptest::prelude::*;

/// Standard gravity as in the published table of inertial loads, mm/s².
const G_MM_S2: f64 = 9810.0;

fn angles(yaw_deg: f64, track_deg: f64, flexion_deg: f64) -> ChairAngles {
    ChairAngles {
        yaw_rad: yaw_deg.to_radians(),
        track_rad: track_deg.to_radians(),
        headrest_flexion_rad: flexion_deg.to_radians(),
    }
}

fn step(to: ChairAngles, move_s: f64, hold_s: f64) -> Step {
    Step {
        name: "Turn".into(),
        to,
        move_s,
        hold_s,
    }
}

fn lever(mm: f64) -> Lever {
    Lever {
        head_above_track_axis_mm: mm,
    }
}

fn both_axes(profile: MoveProfile) -> HeadMotion {
    let steps = vec![
        step(angles(45.0, 10.0, 20.0), 2.0, 1.0),
        step(angles(225.0, 130.0, 20.0), 3.0, 2.0),
        step(angles(180.0, -70.0, 20.0), 1.5, 0.0),
    ];
    HeadMotion::new(angles(0.0, 0.0, 20.0), steps, profile, lever(500.0)).unwrap()
}

/// Angular velocity in head axes from the orientation alone: half the skew part of Rᵀ(t−h) R(t+h), which
/// is the axis times the sine of the angle 2hω.
fn velocity_by_difference(motion: &HeadMotion, t: f64, h: f64) -> Vec3 {
    let turn = motion.at(t - h).room_from_head.inverse() * motion.at(t + h).room_from_head;
    let m = turn.into_inner();
    let skew = Vec3::new(m.m32 - m.m23, m.m13 - m.m31, m.m21 - m.m12);
    skew / 2.0 / (2.0 * h)
}

/// Position of a point of the head in the room, mm, from the crossing of the axes.
fn place_in_room(motion: &HeadMotion, t: f64, point_in_head_mm: Vec3) -> Vec3 {
    let pose = motion.at(t);
    let seated = ChairAngles {
        headrest_flexion_rad: 0.0,
        ..pose.angles
    };
    let long_axis = room_from_head(seated) * Vec3::z();
    long_axis * motion.lever.head_above_track_axis_mm + pose.room_from_head * point_in_head_mm
}

#[test]
fn velocity_and_acceleration_are_the_derivatives_of_orientation_and_place() {
    let profiles = [
        MoveProfile::MinimumJerk,
        MoveProfile::Trapezoid { ramp_share: 0.25 },
    ];
    let point = Vec3::new(12.0, -35.0, 8.0);
    for profile in profiles {
        let motion = both_axes(profile);
        // Inside moves, away from the corners of the trapezoid's acceleration.
        for t in [0.3, 0.9, 1.1, 1.8, 3.4, 4.0, 4.6, 5.7, 8.2, 8.75, 9.3] {
            let pose = motion.at(t);
            let h = 1e-5;
            let omega = velocity_by_difference(&motion, t, h);
            assert!(
                (omega - pose.angular_velocity_in_head_rad_s).norm() < 1e-8,
                "ω at {t}"
            );
            let (before, after) = (motion.at(t - h), motion.at(t + h));
            let alpha = (after.angular_velocity_in_head_rad_s
                - before.angular_velocity_in_head_rad_s)
                / (2.0 * h);
            assert!(
                (alpha - pose.angular_acceleration_in_head_rad_s2).norm() < 1e-8,
                "α at {t}"
            );
            let h = 1e-4;
            for (point, felt) in [
                (Vec3::zeros(), pose.acceleration_in_head_mm_s2),
                (point, pose.acceleration_at_mm_s2(point)),
            ] {
                let second = (place_in_room(&motion, t - h, point)
                    - 2.0 * place_in_room(&motion, t, point)
                    + place_in_room(&motion, t + h, point))
                    / (h * h);
                let difference = (pose.room_from_head.inverse() * second - felt).norm();
                assert!(difference < 2e-3, "a at {t}: off by {difference} mm/s²");
            }
        }
    }
}

#[test]
fn the_orientation_is_the_one_of_the_angles() {
    let motion = both_axes(MoveProfile::MinimumJerk);
    for i in 0..=100 {
        let pose = motion.at(0.1 * f64::from(i));
        let r = room_from_head(pose.angles);
        assert!((r.matrix() - pose.room_from_head.matrix()).amax() < 1e-14);
        assert!((down_in_head(pose.angles) - pose.down_in_head).amax() < 1e-14);
        assert_eq!(pose.angles, motion.angles_at(pose.time_s));
    }
}

/// A track turn in the middle of a long trapezoid: constant speed, so ω²r alone. By hand: 180 deg/s is
/// π rad/s; π² · 0.1 m / 9.81 = 0.1006 g, at 0.5 m 0.5030 g, toward the track axis.
#[test]
fn centrifugal_load_is_speed_squared_times_lever() {
    for (lever_mm, load_g) in [(100.0, 0.1006), (500.0, 0.5030)] {
        let turn = step(angles(30.0, 1800.0, 0.0), 10.0 / 0.9, 0.0);
        let profile = MoveProfile::Trapezoid { ramp_share: 0.1 };
        let motion =
            HeadMotion::new(angles(30.0, 0.0, 0.0), vec![turn], profile, lever(lever_mm)).unwrap();
        let pose = motion.at(5.0);
        let speed = pose.angular_velocity_in_head_rad_s.norm().to_degrees();
        // 1800° in 10/0.9 s with ramps of a tenth: 1800 · 0.9/10/0.9 = 180 deg/s.
        assert!((speed - 180.0).abs() < 1e-9, "{speed}");
        let load = pose.acceleration_in_head_mm_s2 / G_MM_S2;
        assert!((load.norm() - load_g).abs() < 1e-4, "{load:?}");
        assert!(
            (load.z + load.norm()).abs() < 1e-12,
            "toward the axis: {load:?}"
        );
    }
}

/// The first instant of a ramp of 1000 deg/s²: only α r. By hand: 17.453 · 0.5 m / 9.81 = 0.8896 g.
#[test]
fn euler_load_is_acceleration_times_lever() {
    // Ramps of half the move: way = α (T/2)², so 90° at 1000 deg/s² needs T = 0.6 s.
    let turn = step(angles(0.0, 90.0, 0.0), 0.6, 0.0);
    let profile = MoveProfile::Trapezoid { ramp_share: 0.5 };
    let motion = HeadMotion::new(angles(0.0, 0.0, 0.0), vec![turn], profile, lever(500.0)).unwrap();
    let pose = motion.at(0.0);
    let alpha = pose.angular_acceleration_in_head_rad_s2.norm().to_degrees();
    assert!((alpha - 1000.0).abs() < 1e-9, "{alpha}");
    let load = pose.acceleration_in_head_mm_s2 / G_MM_S2;
    assert!((load.norm() - 0.8896).abs() < 1e-4, "{load:?}");
    // Rolling to the right starts the head to the right.
    assert!(load.y < 0.0, "{load:?}");
}

#[test]
fn yaw_alone_does_not_move_the_head_centre() {
    let turn = step(angles(180.0, 0.0, 15.0), 1.0, 0.0);
    let motion = HeadMotion::new(
        angles(0.0, 0.0, 15.0),
        vec![turn],
        MoveProfile::MinimumJerk,
        Lever::default(),
    )
    .unwrap();
    for i in 0..10 {
        let pose = motion.at(0.1 * f64::from(i));
        assert!(pose.acceleration_in_head_mm_s2.norm() < 1e-9);
    }
}

/// Flash & Hogan 1985, J Neurosci 5:1688: 120° in 3 s peaks at 1.875 · 40 = 75 deg/s at half time.
#[test]
fn a_minimum_jerk_move_peaks_at_half_time() {
    let turn = step(angles(45.0, 120.0, 0.0), 3.0, 5.0);
    let motion = HeadMotion::new(
        angles(45.0, 0.0, 0.0),
        vec![turn],
        MoveProfile::MinimumJerk,
        Lever::default(),
    )
    .unwrap();
    let speed = motion
        .at(1.5)
        .angular_velocity_in_head_rad_s
        .norm()
        .to_degrees();
    assert!((speed - 75.0).abs() < 1e-9, "{speed}");
    let peak_u = (3.0 - 3_f64.sqrt()) / 6.0;
    let alpha = motion
        .at(3.0 * peak_u)
        .angular_acceleration_in_head_rad_s2
        .norm()
        .to_degrees();
    assert!((alpha - 5.7735 * 120.0 / 9.0).abs() < 1e-3, "{alpha}");
}

#[test]
fn steps_and_holds_are_where_their_times_say() {
    let motion = both_axes(MoveProfile::MinimumJerk);
    assert!((motion.duration_s() - 9.5).abs() < 1e-12);
    let at: Vec<usize> = [-1.0, 0.0, 2.9, 3.0, 7.9, 8.0, 9.49, 9.5, 50.0]
        .map(|t| motion.step_at(t))
        .into();
    assert_eq!(at, [0, 0, 0, 1, 1, 2, 2, 2, 2]);
    let holding: Vec<bool> = [-1.0, 0.0, 1.9, 2.0, 2.9, 3.0, 6.5, 8.0, 9.5]
        .map(|t| motion.is_holding(t))
        .into();
    assert_eq!(
        holding,
        [true, false, false, true, true, false, true, false, true]
    );
    for (t, expected) in [
        (-1.0, angles(0.0, 0.0, 20.0)),
        (2.5, angles(45.0, 10.0, 20.0)),
    ] {
        let pose = motion.at(t);
        assert!(pose.is_at_rest());
        assert_eq!(pose.angles, expected);
        assert!((pose.time_s - t).abs() < 1e-15);
    }
    assert_eq!(motion.at(99.0).angles, angles(180.0, -70.0, 20.0));
}

#[test]
fn motions_without_steps_or_times_stand_still() {
    let here = angles(45.0, 120.0, 0.0);
    let still = HeadMotion::new(here, vec![], MoveProfile::default(), Lever::default()).unwrap();
    assert!(still.duration_s() == 0.0 && still.is_holding(1.0) && still.step_at(1.0) == 0);
    assert_eq!(still.at(3.0).angles, here);
    let empty_step = vec![
        step(here, 0.0, 0.0),
        step(here, 0.0, 5.0),
        step(here, 0.0, 0.0),
    ];
    let still =
        HeadMotion::new(here, empty_step, MoveProfile::default(), Lever::default()).unwrap();
    assert_eq!(still.step_at(1.0), 1);
    assert!(still.at(1.0).is_at_rest() && still.at(5.0).is_at_rest());
}

#[test]
fn mistakes_are_named() {
    let up = angles(0.0, 0.0, 0.0);
    let supine = angles(90.0, 90.0, 0.0);
    let make = |to: ChairAngles, move_s: f64, hold_s: f64, profile: MoveProfile| {
        HeadMotion::new(
            up,
            vec![step(to, move_s, hold_s)],
            profile,
            Lever::default(),
        )
        .unwrap_err()
        .to_string()
    };
    let usual = MoveProfile::MinimumJerk;
    let cases = [
        (
            make(supine, 0.0, 1.0, usual),
            "step 1 (Turn): move time: found 0 s for a turn of 90.0°, allowed is more than 0 s",
        ),
        (
            make(supine, -2.0, 1.0, usual),
            "step 1 (Turn): move time: found -2 s, allowed is 0 s or more",
        ),
        (
            make(supine, 1.0, -0.5, usual),
            "step 1 (Turn): hold time: found -0.5 s, allowed is 0 s or more",
        ),
        (
            make(angles(f64::NAN, 0.0, 0.0), 1.0, 1.0, usual),
            "step 1 (Turn): yaw: found NaN, allowed is a finite number",
        ),
        (
            make(supine, f64::INFINITY, 1.0, usual),
            "step 1 (Turn): move time: found inf, allowed is a finite number",
        ),
        (
            make(angles(0.0, 0.0, 20.0), 0.0, 1.0, usual),
            "step 1 (Turn): move time: found 0 s for a turn of 20.0°, allowed is more than 0 s",
        ),
        (
            make(supine, 1.0, 1.0, MoveProfile::Trapezoid { ramp_share: 0.0 }),
            "ramp share of the moves: found 0, allowed is more than 0, up to 0.5",
        ),
        (
            make(supine, 1.0, 1.0, MoveProfile::Trapezoid { ramp_share: 0.6 }),
            "ramp share of the moves: found 0.6, allowed is more than 0, up to 0.5",
        ),
    ];
    for (found, expected) in cases {
        assert_eq!(found, expected);
    }
    let lever_nan = HeadMotion::new(up, vec![], usual, lever(f64::NAN));
    assert!(matches!(lever_nan, Err(MotionError::NotFinite { .. })));
}

proptest! {
    #[test]
    fn every_pose_is_a_rotation_and_its_twin_feels_the_same_gravity(
        yaw in -400.0..400.0_f64,
        track in -400.0..400.0_f64,
        flexion in -30.0..30.0_f64,
        t in 0.0..5.0_f64,
    ) {
        let turn = step(angles(yaw, track, flexion), 4.0, 1.0);
        let motion = HeadMotion::new(
            angles(0.0, 0.0, flexion),
            vec![turn],
            MoveProfile::MinimumJerk,
            Lever::default(),
        )
        .unwrap();
        let pose: HeadPose = motion.at(t);
        let r = pose.room_from_head.into_inner();
        prop_assert!((r.transpose() * r - nalgebra::Matrix3::identity()).amax() < 1e-13);
        prop_assert!((r.determinant() - 1.0).abs() < 1e-13);
        let twin = down_in_head(lithodrome_chair::twin(pose.angles));
        prop_assert!((twin - pose.down_in_head).amax() < 1e-13);
    }
}
