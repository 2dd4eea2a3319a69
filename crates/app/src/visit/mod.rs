//! A visit is prepared and kept: patients, run sheets, what was done and seen.

pub mod acting;
pub mod command;
pub mod log_ui;
pub mod panel_ui;
pub mod patient_ui;
pub mod plan_ui;
pub mod state;

pub use state::{LogForm, PatientForm, VisitState};
