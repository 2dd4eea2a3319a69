//! What a debrief holds: points, what was missed, a good run, and sentences.

use lithodrome_labyrinth::CanalId;

use super::act::Act;
use super::missed::Missed;
use super::plane_error::PlaneError;
use super::session::SessionRun;
use super::trials::{Cure, TestTrial};
use crate::report::{Happening, Phrase};
use crate::rules::Marks;

/// Everything that is said of a session afterwards.
#[derive(Clone, Debug)]
pub struct Debrief {
    /// The session, computed.
    pub session: SessionRun,
    /// Which parts of the answer are right; `None` if nothing was named.
    pub marks: Option<Marks>,
    /// What was missed, `[act]`.
    pub missed: Vec<Option<Missed>>,
    /// How far the head was from the nearest known position, by each ill canal, `[act]`; empty where none is near.
    pub plane_errors: Vec<Vec<PlaneError>>,
    /// What every library test shows of the untouched case.
    pub tests: Vec<TestTrial>,
    /// What happened to the debris.
    pub happenings: Vec<Happening>,
    /// Canals whose debris is not out at the end.
    pub still_in: Vec<CanalId>,
    /// A good run of the same case; `None` if nothing tried in the library clears it.
    pub good: Option<GoodRun>,
    /// Points.
    pub score: Score,
    /// What there is to say; every phrase that has a moment leads to it, and the last one is about the good
    /// run, if there is one.
    pub paragraph: Vec<Phrase>,
}

/// How the case can go.
#[derive(Clone, Debug, PartialEq)]
pub struct GoodRun {
    /// The test that shows the case best, if one shows it.
    pub test: Option<&'static str>,
    /// What clears it.
    pub cure: Cure,
    /// Test, treatment and control test.
    pub acts: Vec<Act>,
}

/// Points, line by line.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Score {
    /// What was asked and whether it was reached.
    pub lines: Vec<ScoreLine>,
}

/// One point.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScoreLine {
    /// What was asked.
    pub what: &'static str,
    /// It was reached.
    pub reached: bool,
}

impl Score {
    /// Lines reached.
    pub fn points(&self) -> usize {
        self.lines.iter().filter(|line| line.reached).count()
    }

    /// Lines in all.
    pub fn of(&self) -> usize {
        self.lines.len()
    }
}
