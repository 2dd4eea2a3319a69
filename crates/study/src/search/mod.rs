//! Sequence search: which postures, within a patient's limits, bring debris out in most ears?
//!
//! A line graph of the lumen says in a moment where debris of many believed ears goes in every posture; the best
//! sequences in it are run in the engine on planning ears, their holds tuned there, and the one that is chosen is
//! checked on ears on which nothing was chosen.

mod around;
mod beam;
mod choose;
mod course;
mod drain;
mod file;
mod grid;
mod in_engine;
mod limits;
mod line;
mod places;
mod plan;
mod posture_words;
mod reasons;
mod report;
mod run;
mod stage;
mod tables;

pub use course::TracedCourse;
pub use drain::Drain;
pub use file::{SEARCH_FORMAT, Search, SearchAim, SearchCase, SearchEars, SearchFile};
pub use limits::SearchLimits;
pub use line::{LineDebris, LineGraph};
pub use places::Waits;
pub use reasons::HoldReason;
pub use report::{Beside, CanalShare, FoundHold, InUtricle, SearchCounts, SearchReport, Searched};
pub use run::{CoarseAnswer, search, search_in};
pub use stage::{SearchProgress, SearchStage};
pub use tables::SearchTables;
