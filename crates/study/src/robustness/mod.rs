//! What one sequence does over a population.

mod summary;

pub use summary::{Counts, FailedRun, Sensitivity, Shares, StepExits, Summary, WorstEar, summary};
