//! Where the head is: the two axes of the chair, the headrest, and how they move.
//!
//! Room axes: x forward, y left, z up. `R_room_from_head = Rx(track) Rz(yaw) Ry(headrest flexion)`.
//! Nothing here knows of the ear but its place in the head.

mod head_motion;
mod pose;

pub use head_motion::{HeadMotion, HeadPose, Lever, MoveProfile, Step, StepTimes};
pub use pose::{ChairAngles, down_in_head, room_from_head};
