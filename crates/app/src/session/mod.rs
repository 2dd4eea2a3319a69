//! The state of the window, what can be asked of it, and what changes it.

pub mod autosave;
pub mod command;
pub mod draft;
pub mod draft_dialogs;
mod driving;
pub mod edit;
pub mod edit_ui;
mod editing;
pub mod file_picker;
pub mod history;
pub mod playback;
pub mod state;

pub use state::{Preferences, Session};
