//! The scenario, in people's units, as it stands in a file.
//!
//! Reading and writing are in `ron`, what follows from the steps in `plan`, ranges in `check`,
//! conversion in `compile`.

use std::path::{Path, PathBuf};

use lithodrome_debris::Engine;
use lithodrome_labyrinth::{Canal, CanalId, Ear};
use lithodrome_nystagmus::Cover;
use serde::{Deserialize, Serialize};

use super::about::About;
use super::body::{Carrier, MoveEntry, NeckEntry, TrunkEntry};
use super::matter::{
    AdhesionEntry, CupulaEntry, DispersalEntry, Kind, ShapeEntry, VestibuleHoldEntry,
};
use super::place::At;
use super::recorded::RecordedEntry;
use super::steps_list::steps_up_to_most;

/// Version of the format that this code reads and writes.
pub const FORMAT: u32 = 1;

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
    /// Cupulae that are lighter or heavier than endolymph.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cupulae: Vec<CupulaEntry>,
    /// The chair at the start.
    #[serde(default)]
    pub chair: StartAngles,
    /// What carries the head; the two-axis chair if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub body: Option<Carrier>,
    /// The manoeuvre.
    #[serde(deserialize_with = "steps_up_to_most")]
    pub steps: Vec<StepEntry>,
    /// The chair's motion as it was recorded; the steps are then only a reading of it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub recorded: Vec<RecordedEntry>,
    /// What this patient allows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limits: Option<Limits>,
    /// What this chair, or whoever drives it, allows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chair_limits: Option<Limits>,
    /// Seed for everything drawn by chance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seed: Option<u64>,
    /// Which engine; settling if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub engine: Option<Engine>,
    /// How long the patient has sat with this debris when the run begins, s. Left out, 120; but 0 where debris
    /// starts at a place that sitting would undo: an exact one, or an arm without a resting place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sat_s: Option<f64>,
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
    /// The files that this scenario of a file is made of: its own and, where that is a file, its anatomy. None of
    /// them may be written over by what is made of it.
    pub fn files(&self, file: &Path) -> [PathBuf; 2] {
        let folder = file.parent().unwrap_or(Path::new(""));
        [file.to_owned(), folder.join(&self.anatomy)]
    }

    /// Every canal in which debris begins, each once, in the order of the file.
    pub fn canals(&self) -> Vec<CanalId> {
        let mut canals: Vec<CanalId> = Vec::new();
        for entry in &self.debris {
            let id = CanalId {
                ear: entry.ear,
                canal: entry.canal,
            };
            if !canals.contains(&id) {
                canals.push(id);
            }
        }
        canals
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
    /// What they are; decides the density if that is left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<Kind>,
    /// Shape; balls if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shape: Option<ShapeEntry>,
    /// Resistance to rolling over the force that presses them on the wall, 0 to 0.35; 0 if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rolling_resistance: Option<f64>,
    /// Gap to the wall at which they roll, as a share of their radius, 0.001 to 0.2; 0.01 if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rolling_gap: Option<f64>,
    /// What holds them at rest; nothing if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub adhesion: Option<AdhesionEntry>,
    /// Pull at which they let go of the cupula, in multiples of their weight; never if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub attachment_g: Option<f64>,
    /// How they fall apart and gather; they stay whole if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dispersal: Option<DispersalEntry>,
    /// What holds them once they are out of a canal; nothing but `adhesion` if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vestibule_hold: Option<VestibuleHoldEntry>,
}

impl DebrisEntry {
    /// Calcite balls that stay whole and stick to nothing.
    pub fn new(ear: Ear, canal: Canal, at: At, count: u32, diameter_um: f64) -> DebrisEntry {
        DebrisEntry {
            ear,
            canal,
            at,
            count,
            diameter_um,
            density_g_cm3: None,
            rolling_resistance: None,
            rolling_gap: None,
            kind: None,
            shape: None,
            adhesion: None,
            attachment_g: None,
            dispersal: None,
            vestibule_hold: None,
        }
    }
}

/// How the eyes are watched.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct EyesEntry {
    /// What covers them.
    pub cover: Cover,
    /// Where the patient looks, to his right, degrees.
    pub gaze_right_deg: f64,
    /// The same, up.
    pub gaze_up_deg: f64,
    /// Torsion without a horizontal beat is called geotropic or apogeotropic too.
    pub torsion_has_sense: bool,
}

/// Chair angles at the start, degrees.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct StartAngles {
    /// Yaw.
    pub yaw_deg: f64,
    /// Track.
    pub track_deg: f64,
    /// Headrest flexion, until a step changes it.
    pub headrest_flexion_deg: f64,
}

/// One step: a move, then a hold.
///
/// Where to is written as angles of the body (an angle left out stays) or as a head direction.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
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
    /// Headrest flexion at the end of the move, degrees.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub headrest_flexion_deg: Option<f64>,
    /// The trunk on a bed at the end of the move.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trunk: Option<TrunkEntry>,
    /// The head on the trunk at the end of the move.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub neck: Option<NeckEntry>,
    /// Gravity in the head at the end of the move: forward, left, up; its length is without meaning. In
    /// place of angles; at the bedside the neck brings it about on the trunk that is written beside it,
    /// or trunk and neck both if none is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub down_in_head: Option<[f64; 3]>,
    /// How it moves; by hand if left out.
    #[serde(rename = "move", default, skip_serializing_if = "Option::is_none")]
    pub movement: Option<MoveEntry>,
    /// Time of the move, s; with 0 a `move` takes its own time.
    pub move_s: f64,
    /// Time at rest after it, s.
    pub hold_s: f64,
}

/// What a patient or a chair allows; a value left out is not limited.
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
    /// Farthest yaw to either side, degrees.
    pub yaw_deg: Option<f64>,
    /// No step may be a throw.
    pub no_throw: bool,
}
