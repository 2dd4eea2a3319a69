//! A visit is prepared and kept: patients, run sheets, what was done and seen.

pub mod acting;
pub mod command;
pub mod panel_ui;
pub mod state;

pub use state::VisitState;
