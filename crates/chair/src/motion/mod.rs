//! How the head moves: shapes of moves, steps, recorded drives, and the motion as a function of time.

mod carrier;
mod check_steps;
mod hand;
mod head_motion;
mod motion_error;
mod moves;
mod profile;
mod recorded;
mod step;

pub use hand::{Ask, Axis, ChairAxis, FASTEST_RAD_S, hand_pose};
pub use head_motion::HeadMotion;
pub use motion_error::MotionError;
pub use moves::{HandPace, Motor, Move, ShakeAxis, Swing, throw_time_s};
pub use profile::MoveProfile;
pub use recorded::AngleSample;
pub use step::{MovedStep, Step, StepTimes};
