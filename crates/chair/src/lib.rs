//! Where the head is: the two axes of the chair, the headrest, and how they move.
//!
//! Room axes: x forward, y left, z up. `R_room_from_head = Rx(track) Rz(yaw) Ry(headrest flexion)`.
//! Nothing here knows of the ear but its place in the head.
//!
//! A run's motion is a [`HeadMotion`], made either of steps (a move, then a hold) or of a recorded
//! drive, and is a pure function of time:
//!
//! ```
//! use lithodrome_chair::{ChairAngles, HeadMotion, Lever, MoveProfile, Step, angles_for_down};
//!
//! let upright = ChairAngles::default();
//! // Right Dix-Hallpike, 30° below the horizontal: yaw 45°, track 120°.
//! let hanging = ChairAngles {
//!     yaw_rad: 45_f64.to_radians(),
//!     track_rad: 120_f64.to_radians(),
//!     headrest_flexion_rad: 0.0,
//! };
//! let step = Step { name: "Lie back".into(), to: hanging, move_s: 3.0, hold_s: 30.0 };
//! let motion = HeadMotion::new(upright, vec![step], MoveProfile::default(), Lever::default())?;
//!
//! assert!((motion.duration_s() - 33.0).abs() < 1e-12);
//! let pose = motion.at(10.0);
//! assert!((pose.down_in_head.z - 0.5).abs() < 1e-12);
//! let back = angles_for_down(pose.down_in_head);
//! assert!((back.track_rad - hanging.track_rad).abs() < 1e-12);
//! # Ok::<(), lithodrome_chair::MotionError>(())
//! ```

mod bed;
mod motion;
mod pose;

pub use bed::{
    BedPosture, BodyLengths, NeckAngles, NeckRange, Reached, Trunk, reach_by_neck,
    reach_by_trunk_and_neck,
};
pub use motion::{
    AngleSample, Ask, Axis, ChairAxis, FASTEST_RAD_S, HandPace, HeadMotion, MotionError, Motor,
    Move, MoveProfile, MovedStep, ShakeAxis, Step, StepTimes, Swing, hand_pose, throw_time_s,
};
pub use pose::{
    AngleError, CanalPlane, ChairAngles, HeadPose, Lever, PathDifference, Solution, angle_error,
    angles_for_down, angles_for_down_with_headrest, canal_plane_yaw, down_in_head,
    nearest_equivalent, path_difference, plane_tilt_to_vertical_rad, room_from_head, route, twin,
};
