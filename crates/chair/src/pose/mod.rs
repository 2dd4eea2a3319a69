//! Where the head is at one time: chair angles, a chain of carried frames, the pose an ear feels.

mod angle_error;
mod chain;
mod chair_angles;
mod head_pose;
mod jet;
mod route;
mod swinging;

pub use angle_error::{AngleError, angle_error};
pub(crate) use chain::Carried;
pub use chair_angles::{
    CanalPlane, ChairAngles, Solution, angles_for_down, angles_for_down_with_headrest,
    canal_plane_yaw, down_in_head, nearest_equivalent, room_from_head, twin,
};
pub(crate) use head_pose::Seat;
pub use head_pose::{HeadPose, Lever};
pub(crate) use jet::Jet;
pub(crate) use route::angle;
pub use route::{PathDifference, path_difference, plane_tilt_to_vertical_rad, route};
pub(crate) use swinging::Swinging;
