//! Entries of a scenario for what carries the head and how it moves, in people's units.

use lithodrome_chair::{HandPace, ShakeAxis};
use lithodrome_labyrinth::Ear;
use serde::{Deserialize, Serialize};

/// What carries the head.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Carrier {
    /// The two-axis chair: yaw, track, headrest.
    #[default]
    Chair,
    /// A bed and the patient's own trunk and neck.
    Bedside {
        /// How far this neck goes.
        #[serde(default)]
        neck: NeckLimits,
    },
    /// A motorised chair that turns about any axis.
    ThreeAxes,
}

impl Carrier {
    /// A bed, where trunk and neck move by themselves.
    pub const fn is_bed(self) -> bool {
        matches!(self, Carrier::Bedside { .. })
    }
}

/// How far a neck goes each way from looking ahead, degrees. What is left out is a healthy adult's.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct NeckLimits {
    /// Turn to each side.
    pub rotation_deg: f64,
    /// Bend back.
    pub extension_deg: f64,
    /// Chin toward the chest.
    pub flexion_deg: f64,
    /// Bend to each side.
    pub lateral_deg: f64,
}

impl Default for NeckLimits {
    /// A healthy adult's, as in [`lithodrome_chair::NeckRange`].
    fn default() -> Self {
        NeckLimits {
            rotation_deg: 80.0,
            extension_deg: 60.0,
            flexion_deg: 50.0,
            lateral_deg: 45.0,
        }
    }
}

/// How the trunk lies at the end of a bedside step, degrees; what is left out stays.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct TrunkEntry {
    /// Leant back from sitting: 90 is on the back, −90 bowed to the front.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub recline_deg: Option<f64>,
    /// Fallen sideways from sitting: 90 is on the left side, −90 on the right.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fall_left_deg: Option<f64>,
    /// Rolled about its own long axis: on the back, 90 more is on the left side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub roll_left_deg: Option<f64>,
}

/// How the head is held on the trunk at the end of a bedside step, degrees; what is left out stays.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct NeckEntry {
    /// Turned to the left; below 0 to the right.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turn_left_deg: Option<f64>,
    /// Bent back; below 0 chin to chest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub extend_deg: Option<f64>,
    /// Left ear to the left shoulder; below 0 right to right.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tilt_left_deg: Option<f64>,
}

/// How a step moves; by hand if left out.
///
/// With a `move_s` of 0 a hand, a motor and a throw take the time that is their own for the turn.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum MoveEntry {
    /// By hand, with minimum jerk.
    Hand {
        /// How briskly, where the hand takes its own time.
        #[serde(default)]
        pace: HandPace,
    },
    /// By a motor: even ramps and an even speed between them, within limits that hold for every axis.
    Motor {
        /// Highest speed.
        speed_deg_s: f64,
        /// Highest acceleration.
        acceleration_deg_s2: f64,
    },
    /// Thrown: even acceleration, then an abrupt stop.
    Throw {
        /// Time of the stop, s.
        #[serde(default = "tenth_of_a_second")]
        stop_s: f64,
    },
    /// An axis is shaken to and fro for the time of the move.
    Shaking {
        /// Which.
        axis: ShakeAxis,
        /// Largest turn to each side.
        amplitude_deg: f64,
        /// Swings per second.
        frequency_hz: f64,
    },
    /// A vibrator is held to the skull for the time of the move and moves the head as a whole.
    Vibration {
        /// Where it is held; the head moves to and from there.
        at: SkullPlace,
        /// Largest way of the head to each side.
        amplitude_mm: f64,
        /// Swings per second.
        frequency_hz: f64,
    },
}

fn tenth_of_a_second() -> f64 {
    0.1
}

/// Where a vibrator is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum SkullPlace {
    /// Behind an ear: sideways.
    Mastoid(Ear),
    /// To and from the nose.
    Forehead,
    /// Along the long axis.
    Crown,
}
