//! What is written down of one patient at one visit.

use lithodrome_labyrinth::{Canal, CanalId, Ear};
use lithodrome_rehearsal::Mechanism;
use serde::{Deserialize, Serialize};

use super::code::Code;
use super::date::Date;

/// One patient at one visit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Visit {
    /// The day.
    pub date: Date,
    /// The home, by code.
    pub home: Code,
    /// The patient, by code.
    pub patient: Code,
    /// Time with the patient, minutes.
    pub minutes: f64,
    /// Tests and what was seen in them.
    #[serde(default)]
    pub seen: Vec<SeenTest>,
    /// Where debris was found; empty if none was.
    #[serde(default)]
    pub affected: Vec<Affected>,
    /// What was done, in order.
    #[serde(default)]
    pub treatments: Vec<Treatment>,
}

/// One test and what was seen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeenTest {
    /// The test.
    pub test: String,
    /// What was seen, in words.
    pub words: String,
}

/// A canal with debris.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Affected {
    /// Side.
    pub ear: Ear,
    /// Canal.
    pub canal: Canal,
    /// Where in it.
    pub mechanism: Mechanism,
}

impl Affected {
    /// The canal.
    pub fn id(self) -> CanalId {
        CanalId {
            ear: self.ear,
            canal: self.canal,
        }
    }
}

/// One manoeuvre and what the control test told.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Treatment {
    /// The manoeuvre.
    pub manoeuvre: String,
    /// Side that it was done for.
    pub ear: Ear,
    /// Canal that it was done for.
    pub canal: Canal,
    /// What came of it.
    pub end: TreatmentEnd,
}

/// What came of a manoeuvre.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum TreatmentEnd {
    /// The control test was empty.
    Cleared,
    /// The control test showed the same canal.
    NotCleared,
    /// The control test showed another canal of the same ear.
    Switched {
        /// Which.
        to: Canal,
    },
    /// It was broken off.
    Stopped,
}

impl TreatmentEnd {
    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            TreatmentEnd::Cleared => "cleared",
            TreatmentEnd::NotCleared => "not cleared",
            TreatmentEnd::Switched { .. } => "switched",
            TreatmentEnd::Stopped => "stopped",
        }
    }

    /// The canal it switched to.
    pub const fn switched_to(self) -> Option<Canal> {
        match self {
            TreatmentEnd::Switched { to } => Some(to),
            _ => None,
        }
    }
}
