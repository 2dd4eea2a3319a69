//! How one run ended, as a row of a table.

use lithodrome_labyrinth::Region;
use serde::{Deserialize, Serialize};

use super::RunEnd;

/// One run of a study.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Which ear, counted from 0.
    pub index: u32,
    /// Which sequence, counted from 0.
    pub sequence: u32,
    /// How it ended, or why it has no end.
    pub end: Result<Ended, String>,
}

/// The end of a run that has one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ended {
    /// In one word.
    pub word: RunEnd,
    /// Where the body is that is worst off.
    pub region: Region,
    /// Its place in that part, mm.
    pub arc_mm: f64,
    /// When the last body left, s; `None` if one has not.
    pub exit_s: Option<f64>,
    /// Step in which it left, counted from 1; one more than there are while the patient sat afterwards.
    pub exit_step: Option<u32>,
    /// How much of that step's hold was left, s.
    pub spare_s: Option<f64>,
    /// Least way to the upright divide of a wrong canal, mm; known in the first ears of a study, and in all that are
    /// judged with the control test, where such a divide was in reach.
    pub nearest_miss_mm: Option<f64>,
    /// Time within 1 mm of that divide or beyond, s.
    pub nearest_miss_s: Option<f64>,
}

impl Row {
    /// It ended cleared. A failed run did not.
    pub fn is_cleared(&self) -> bool {
        self.is(RunEnd::Cleared)
    }

    /// It ended so.
    pub fn is(&self, word: RunEnd) -> bool {
        self.end.as_ref().is_ok_and(|end| end.word == word)
    }
}
