//! Why something cannot be done with a patient.

use serde::Serialize;

/// One reason.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Refusal {
    /// Why.
    pub reason: String,
    /// What would have to change.
    pub change: String,
}
