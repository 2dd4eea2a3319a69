//! A visit is prepared and kept: patients, run sheets, what was done and seen.

pub mod acting;
pub mod command;
mod errands;
pub mod figures_ui;
mod keeping;
pub mod list;
pub mod log_ui;
pub mod panel_ui;
pub mod patient_ui;
mod plan_file;
pub mod plan_ui;
mod planning;
pub mod state;

pub use state::{DayForm, LogForm, PatientForm, VisitState};
