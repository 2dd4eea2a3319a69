//! What came out, per step and per debris; the JSON of `rehearse --json`.

use serde::Serialize;

/// The report of a run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// Version of the format, 1.
    pub format: u32,
    /// Title of the scenario.
    pub title: String,
    /// Steps.
    pub steps: Vec<StepReport>,
    /// Debris.
    pub debris: Vec<DebrisReport>,
    /// All debris has left its canal for the utricle.
    pub cleared: bool,
}

/// One step.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StepReport {
    /// Its name.
    pub name: String,
}

/// One body.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DebrisReport {
    /// "right" or "left".
    pub ear: String,
}
