//! What is published about tests and manoeuvres, and how often it comes out in a population of ears.

mod courses;
mod observation;
mod observe;
mod observe_eyes;
mod observe_throws;
mod published;
mod report;
mod tally;

pub use courses::Courses;
pub use observation::Observation;
pub use observe::observe_ear;
pub use observe_throws::observe_typical;
pub use published::{Kind, Outcome, PositionalRow, Published, Stage};
pub use report::{FindingRow, FindingsAsked, FindingsReport, OutcomeRow, findings};
pub use tally::{Tally, tally};
