//! The state of the window, what can be asked of it, and what changes it.

pub mod autosave;
pub mod choices;
pub mod command;
pub mod draft;
mod driving;
pub mod edit;
mod edit_command;
mod editing;
mod file_command;
mod filing;
pub mod history;
mod play_command;
pub mod playback;
mod playing;
pub mod remembered;
pub mod state;
mod view_command;
mod viewing;

pub use state::{Preferences, Session};
