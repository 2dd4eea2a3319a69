//! What one sequence does over a population.

mod summary;

pub(crate) use summary::share_of;
pub use summary::{Counts, FailedRun, Sensitivity, Shares, StepExits, Summary, WorstEar, summary};
