//! What can go wrong with a scenario, in words for people.

use std::path::PathBuf;

/// A field with a value that cannot be.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{field}: found {found}, allowed is {allowed}")]
pub struct FieldError {
    /// Path of the field, counted from 1 as people do: "steps[2].hold_s".
    pub field: String,
    /// The value.
    pub found: String,
    /// What would be right.
    pub allowed: String,
}

/// Everything that can go wrong from file to report.
#[derive(Debug, thiserror::Error)]
pub enum RehearsalError {
    /// The file cannot be read.
    #[error("cannot read the scenario: {reason} ({path})", path = path.display())]
    Read {
        /// Which file.
        path: PathBuf,
        /// Why.
        reason: String,
    },
}
