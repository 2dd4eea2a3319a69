//! What came out of a run, for people and for programs.

mod events;
mod fixed;
mod json;
mod judged;
mod short_hold;
mod text;
mod verdict;

pub use events::{Happening, HappeningKind, REST_MM_S, happenings, spare_hold_s};
pub(crate) use fixed::began_fixed;
pub use json::{
    ClearedIn, Components, DebrisReport, NystagmusReport, RepeatReport, Report, StepReport,
};
pub(crate) use json::{report_of, steps_of};
#[cfg(test)]
pub(crate) use judged::judged_as;
pub use judged::{ControlTest, Exit, Judged, Phrase};
pub(crate) use judged::{as_sentence, capital};
pub use short_hold::ShortHold;
pub use text::{CAUTION, report_text};
pub use verdict::{Ends, Evidence, NearestMiss, PieceEnd, Verdict, nearest_miss, piece_end};
