//! The window of Lithodrome: one score below, two stages above.
//!
//! Panels (`*_ui`) read the [`session::Session`] and ask by [`session::command::Command`]; the session is the
//! one place that changes. `work` computes on threads of its own, `stages::scene` turns a moment of a run into
//! meshes, `stages::render` draws them.

/// Name of the program's data folder, and of its window to the desktop.
pub const APP_ID: &str = "lithodrome";

pub mod case;
pub mod drive;
pub mod export;
pub mod kit;
pub mod lesson;
pub mod score;
pub mod session;
pub mod shell;
pub mod stages;
pub mod variant;
pub mod visit;
pub mod work;
