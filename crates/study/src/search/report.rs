//! What a search found, as one document.

use lithodrome_labyrinth::CanalId;
use lithodrome_rehearsal::Scenario;
use serde::Serialize;

use super::course::TracedCourse;
use super::file::SearchEars;
use super::limits::SearchLimits;
use super::places::Waits;
use super::reasons::HoldReason;
use crate::paired::Strain;

/// What a search found: the document, and the sequence as a scenario like any other.
#[derive(Clone, Debug, PartialEq)]
pub struct Searched {
    /// The document.
    pub report: SearchReport,
    /// The sequence; `None` if none was found.
    pub found: Option<Scenario>,
    /// The found sequence and the one that it is held beside, in one ear and the first of the canals; empty if none
    /// was found.
    pub courses: Vec<TracedCourse>,
}

/// The document of a search.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SearchReport {
    /// Version of the format, 1.
    pub format: u32,
    /// Version of the program.
    pub version: &'static str,
    /// What it is not.
    pub caution: &'static str,
    /// Title of the search.
    pub title: String,
    /// Side and canal, or that it is not known.
    pub canal: String,
    /// Title of the mixture.
    pub mixture: String,
    /// Seed.
    pub seed: u32,
    /// What was allowed.
    pub limits: SearchLimits,
    /// Spacing of the angles tried.
    pub grid_deg: f64,
    /// Times of holds tried.
    pub holds_s: Vec<f64>,
    /// Ears of each kind, for every canal.
    pub ears: SearchEars,
    /// Whether a sequence was found.
    pub found: bool,
    /// Its holds.
    pub sequence: Vec<FoundHold>,
    /// What counts as success: "out of every long arm" or "cleared".
    pub aim: &'static str,
    /// Share of the check ears in which it succeeds; 0 if there is none.
    pub share: f64,
    /// Lower end of the 95 % interval of that share.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The same canal by canal, if there are several.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub by_canal: Vec<CanalShare>,
    /// What it asks of a patient.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub strain: Option<Strain>,
    /// The sequence that it was compared with, in the same check ears.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub beside: Option<Beside>,
    /// The same where a short arm counts as failure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub in_utricle: Option<InUtricle>,
    /// Why it is this one, or why there is none.
    pub why: String,
    /// What the choice went through.
    pub counts: SearchCounts,
    /// How long it took, s; left out where bytes are to be the same.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seconds: Option<f64>,
}

/// One hold of a sequence that was found.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FoundHold {
    /// What the patient does.
    pub name: String,
    /// Yaw of the chair.
    pub yaw_deg: f64,
    /// Track of the chair.
    pub track_deg: f64,
    /// Time of the move to it.
    pub move_s: f64,
    /// Time of the hold.
    pub hold_s: f64,
    /// Gravity in the head, unit: forward, left, up.
    pub down_in_head: [f64; 3],
    /// What it is for.
    pub reason: HoldReason,
}

/// The sequence that a found one was compared with.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Beside {
    /// Its title.
    pub title: String,
    /// Share of the check ears in which it succeeds.
    pub share: f64,
    /// Share of the found sequence less its share, ear by ear.
    pub difference: f64,
    /// Lower end of the 95 % interval of the difference.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The same in words.
    pub words: String,
    /// What it asks of a patient.
    pub strain: Strain,
}

/// All debris in the utricle after a minute of sitting: what is in a short arm is not, whether or not it would
/// show in a control test.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct InUtricle {
    /// Share of the check ears.
    pub share: f64,
    /// Lower end of its 95 % interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The share of the sequence that it was compared with.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub beside: Option<f64>,
    /// The difference to it, ear by ear, in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub words: Option<String>,
}

/// Share of success in one canal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CanalShare {
    /// Side and canal.
    pub canal: String,
    /// Share of the check ears.
    pub share: f64,
    /// Lower end of its 95 % interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// What the choice went through.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SearchCounts {
    /// Postures that the limits allow.
    pub postures: usize,
    /// Sequences that were looked at in the tables.
    pub in_tables: u64,
    /// Sequences that were run in the engine on planning ears.
    pub in_engine: usize,
    /// Best share in the tables.
    pub tables_share: f64,
    /// Best share on planning ears in the engine.
    pub planning_share: f64,
    /// Where debris most often is where the best one does not succeed, in planning ears.
    pub left_at: Option<Waits>,
}

impl CanalShare {
    /// Of a canal.
    pub(super) fn of(id: CanalId, share: &crate::Share) -> CanalShare {
        CanalShare {
            canal: id.name(),
            share: share.share,
            low: share.low,
            high: share.high,
        }
    }
}
