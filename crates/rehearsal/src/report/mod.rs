//! What came out of a run, for people and for programs.

mod events;
mod json;
mod text;

pub(crate) use events::fixed_at_end;
pub(crate) use json::report_of;
pub use json::{Components, DebrisReport, NystagmusReport, RepeatReport, Report, StepReport};
pub use text::{CAUTION, report_text};
