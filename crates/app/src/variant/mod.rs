//! A clinician changes or invents a sequence and sees it in one ear, then in many, beside the standard one.

pub mod acting;
pub mod command;
pub mod panel_ui;
pub mod state;

pub use state::VariantState;
