//! A resident tests, names and treats a hidden case; ear and course stay hidden until the answer.

pub mod acting;
mod ask;
mod case_ui;
pub mod class;
pub mod clears;
pub mod clip_ui;
pub mod command;
pub mod debrief_page;
mod debrief_ui;
pub mod desk;
pub mod hidden_ui;
mod in_the_ear;
mod kappa_ui;
mod naming_ui;
pub mod panel_ui;
mod progress_ui;
mod reading_ui;
mod repeat_ui;
pub mod state;

pub use state::LessonState;
