//! A resident tests, names and treats a hidden case; ear and course stay hidden until the answer.

pub mod acting;
pub mod command;
pub mod panel_ui;
pub mod state;

pub use state::LessonState;
