//! A clinician asks a question about many ears: whether a sequence clears them, which one is gentler, what can
//! be done within a patient's limits.
//!
//! `form` and `asked` are the question, `desk` computes it in batches, `*_ui` show what was found, `picture` and
//! `printed` take it out.

pub mod acting;
mod ask;
pub mod asked;
pub mod beside_ui;
pub mod command;
pub mod courses_ui;
pub mod curve_ui;
pub mod desk;
pub mod dots;
pub mod dots_ui;
pub mod ears_ui;
pub mod form;
pub mod form_ui;
pub mod heat_ui;
mod kept;
pub mod limits_ui;
pub mod panel_ui;
pub mod picture;
pub mod printed;
mod printed_search;
pub mod result_ui;
pub mod searched_ui;
pub mod searching;
pub mod state;
pub mod take_out_ui;
pub mod taken_out;
pub mod within;
pub mod words;

pub use state::VariantState;
