//! The head's motion as a pure function of time.

use lithodrome_labyrinth::Vec3;
use nalgebra::Rotation3;

use crate::ChairAngles;

/// How a move goes from rest to rest.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub enum MoveProfile {
    /// Minimum jerk, as a practised hand moves (Flash & Hogan 1985, J Neurosci 5:1688, eq. 3).
    #[default]
    MinimumJerk,
    /// Constant acceleration, constant speed, constant deceleration; each ramp takes `ramp_share` of the move.
    Trapezoid {
        /// Share of the move's time spent in each ramp, 0 to 0.5 (0 is left out).
        ramp_share: f64,
    },
}

/// Where the head sits relative to the crossing of the chair's axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lever {
    /// Height of the head's centre above the track axis along the patient's long axis, mm.
    pub head_above_track_axis_mm: f64,
}

/// One element of a manoeuvre: a move to the given angles, then a hold at rest.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What people call it.
    pub name: String,
    /// Angles at the end of the move.
    pub to: ChairAngles,
    /// Time of the move, s; 0 is allowed only if no angle changes.
    pub move_s: f64,
    /// Time at rest after it, s.
    pub hold_s: f64,
}

/// When a step's move and hold begin and end, s from the start of the run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StepTimes {
    /// Start of the move.
    pub start_s: f64,
    /// Start of the hold.
    pub hold_from_s: f64,
    /// End of the hold.
    pub end_s: f64,
}

/// The head's motion: a start pose and steps.
#[derive(Clone, Debug, PartialEq)]
pub struct HeadMotion {
    /// Pose at t = 0.
    pub start: ChairAngles,
    /// Steps in order.
    pub steps: Vec<Step>,
    /// Shape of every move.
    pub profile: MoveProfile,
    /// Lever arm of the head.
    pub lever: Lever,
    times: Vec<StepTimes>,
}

/// Everything the ear feels at one time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadPose {
    /// The time it is for, s.
    pub time_s: f64,
    /// Chair angles.
    pub angles: ChairAngles,
    /// Orientation.
    pub room_from_head: Rotation3<f64>,
    /// Unit vector of gravity in head axes.
    pub down_in_head: Vec3,
    /// Angular velocity in head axes, rad/s.
    pub angular_velocity_in_head_rad_s: Vec3,
    /// Angular acceleration in head axes, rad/s².
    pub angular_acceleration_in_head_rad_s2: Vec3,
    /// Linear acceleration of the head's centre, in head axes, mm/s².
    pub acceleration_in_head_mm_s2: Vec3,
}
