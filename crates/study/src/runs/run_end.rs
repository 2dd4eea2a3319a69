//! The end of a run in one word, for tables of many ears.
//!
//! What the words mean is decided where one run is judged: [`piece_end`] for where a body is, [`Verdict`]
//! for a run with its control test.

use lithodrome_labyrinth::{Canal, Region};
use lithodrome_rehearsal::{PieceEnd, Verdict};
use serde::{Deserialize, Serialize};

#[cfg(doc)]
use lithodrome_rehearsal::piece_end;

/// How a run ended, best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RunEnd {
    /// All debris is out.
    Cleared,
    /// All is out of the long arms, some in a short arm.
    BehindCupula,
    /// Some is in its own canal still, or on its cupula.
    Inside,
    /// Some is in its own canal still and rests where only friction keeps it.
    Held,
    /// Some is in another canal, on the side of its crus from which it falls back in a sitting patient.
    Passing,
    /// Some is in another canal.
    Switched,
}

impl RunEnd {
    /// All, best first.
    pub const ALL: [RunEnd; 6] = [
        RunEnd::Cleared,
        RunEnd::BehindCupula,
        RunEnd::Inside,
        RunEnd::Held,
        RunEnd::Passing,
        RunEnd::Switched,
    ];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            RunEnd::Cleared => "cleared",
            RunEnd::BehindCupula => "behind the cupula",
            RunEnd::Inside => "inside",
            RunEnd::Held => "held",
            RunEnd::Passing => "passing",
            RunEnd::Switched => "switched",
        }
    }

    /// Of a body once the patient has sat for a minute: in another canal's duct it has switched, on
    /// either side of the divide, as it is still there.
    pub(crate) fn after_sitting(end: PieceEnd) -> RunEnd {
        match end {
            PieceEnd::Out => RunEnd::Cleared,
            PieceEnd::BehindCupula(_) => RunEnd::BehindCupula,
            PieceEnd::OnCupula | PieceEnd::Inside => RunEnd::Inside,
            PieceEnd::InCrus => RunEnd::Passing,
            PieceEnd::Passing(_) | PieceEnd::Switched(_) => RunEnd::Switched,
        }
    }
}

impl From<Verdict> for RunEnd {
    fn from(verdict: Verdict) -> RunEnd {
        match verdict {
            Verdict::Cleared => RunEnd::Cleared,
            Verdict::Passing => RunEnd::Passing,
            Verdict::Switched => RunEnd::Switched,
            Verdict::Held => RunEnd::Held,
            Verdict::BehindTheCupula => RunEnd::BehindCupula,
            // One ear never depends.
            Verdict::MovedOn | Verdict::Unchanged | Verdict::Depends => RunEnd::Inside,
        }
    }
}

/// A canal by its name in a region, for tables.
pub(crate) fn canal_of(region: Region) -> Option<Canal> {
    match region {
        Region::Duct(canal) | Region::ShortArm(canal) => Some(canal),
        Region::CommonCrus | Region::Utricle => None,
    }
}
