//! The scenario, in people's units, as it stands in a file.
//!
//! Reading and writing are in `scenario_file`, ranges in `check`, conversion in `compile`.

use lithodrome_debris::Engine;
use lithodrome_labyrinth::{Canal, Ear};
use serde::{Deserialize, Serialize};

use crate::About;

/// A case and a manoeuvre, as written in a RON file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scenario {
    /// Version of the format, 1.
    pub format: u32,
    /// What people call it.
    pub title: String,
    /// What it is for and where it is from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<About>,
    /// Name of a shipped anatomy, or a path to a file.
    #[serde(default = "mean_adult")]
    pub anatomy: String,
    /// The debris at the start.
    #[serde(default)]
    pub debris: Vec<DebrisEntry>,
    /// The chair at the start.
    #[serde(default)]
    pub chair: StartAngles,
    /// The manoeuvre.
    #[serde(deserialize_with = "crate::scenario_file::steps_up_to_most")]
    pub steps: Vec<StepEntry>,
    /// What this patient allows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limits: Option<Limits>,
    /// Seed for everything drawn by chance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seed: Option<u64>,
    /// Which engine; settling if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub engine: Option<Engine>,
    /// Slow-phase velocity from which nystagmus is seen, deg/s; 3 if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub visible_spv_deg_s: Option<f64>,
    /// How the eyes are watched; infrared video, looking ahead, if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub eyes: Option<EyesEntry>,
    /// Free text.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub notes: Option<String>,
}

impl Scenario {
    /// Yaw and track at the end of each step, degrees; an axis left out stays. `[step][yaw, track]`
    pub fn angles_deg(&self) -> Vec<[f64; 2]> {
        let mut now = [self.chair.yaw_deg, self.chair.track_deg];
        let after = |step: &StepEntry| {
            now = [
                step.yaw_deg.unwrap_or(now[0]),
                step.track_deg.unwrap_or(now[1]),
            ];
            now
        };
        self.steps.iter().map(after).collect()
    }

    /// Length of the manoeuvre, s.
    pub fn duration_s(&self) -> f64 {
        self.steps.iter().map(|s| s.move_s + s.hold_s).sum()
    }

    /// How many bodies of debris there are.
    pub fn bodies(&self) -> u64 {
        self.debris.iter().map(|d| u64::from(d.count)).sum()
    }
}

fn mean_adult() -> String {
    "mean-adult".to_owned()
}

/// Bodies of one kind that start at one place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DebrisEntry {
    /// Side.
    pub ear: Ear,
    /// Canal.
    pub canal: Canal,
    /// Place in that canal.
    pub at: At,
    /// How many.
    pub count: u32,
    /// Diameter, µm.
    pub diameter_um: f64,
    /// Density, g/cm³; calcite if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub density_g_cm3: Option<f64>,
}

/// Places debris can start from.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum At {
    /// Where it rests between the cupula and the apex.
    AmpullaryArm,
    /// Where it rests between the apex and the far end.
    NonAmpullaryArm,
    /// On the utricular side of the cupula.
    ShortArm,
    /// In the utricle.
    Utricle,
    /// Exactly here.
    Arc {
        /// Arc length from the cupula, mm.
        mm: f64,
    },
    /// Fixed to the cupula.
    OnCupula {
        /// On which of its faces.
        side: CupulaSide,
    },
}

/// A face of a cupula.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum CupulaSide {
    /// The face toward the duct.
    Canal,
    /// The face toward the utricle.
    Utricle,
}

/// How the eyes are watched.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct EyesEntry {
    /// What covers them.
    pub cover: EyeCover,
    /// Where the patient looks, to his right, degrees.
    pub gaze_right_deg: f64,
    /// The same, up.
    pub gaze_up_deg: f64,
}

/// What covers the eyes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum EyeCover {
    /// Infrared video goggles, dark.
    #[default]
    InfraredVideo,
    /// Frenzel goggles.
    Frenzel,
    /// None: the patient fixates.
    OpenLight,
}

/// Chair angles at the start, degrees.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct StartAngles {
    /// Yaw.
    pub yaw_deg: f64,
    /// Track.
    pub track_deg: f64,
    /// Headrest flexion, for the whole run.
    pub headrest_flexion_deg: f64,
}

/// One step: a move to the given angles (an axis left out stays), then a hold.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StepEntry {
    /// What people call it.
    pub name: String,
    /// Yaw at the end of the move, degrees.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub yaw_deg: Option<f64>,
    /// Track at the end of the move, degrees.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub track_deg: Option<f64>,
    /// Time of the move, s.
    pub move_s: f64,
    /// Time at rest after it, s.
    pub hold_s: f64,
}

/// What a patient allows; a value left out is not limited.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Limits {
    /// Largest angle of the head below the horizontal, degrees.
    pub head_down_deg: Option<f64>,
    /// Longest time with the head below the horizontal, s.
    pub inverted_s: Option<f64>,
    /// Highest angular speed, deg/s.
    pub speed_deg_s: Option<f64>,
    /// Highest angular acceleration, deg/s².
    pub acceleration_deg_s2: Option<f64>,
}
