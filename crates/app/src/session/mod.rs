//! The state of the window, what can be asked of it, and what changes it.

pub mod autosave;
pub mod command;
pub mod draft;
mod driving;
pub mod edit;
mod editing;
pub mod history;
pub mod playback;
pub mod state;

pub use state::{Preferences, Session};
