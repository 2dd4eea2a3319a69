//! The window of Lithodrome: one score below, two stages above.
//!
//! Panels (`*_ui`) read the [`session::Session`] and ask by [`command::Command`]; the session is the
//! one place that changes. `work` computes on its own thread, `scene` turns a moment of a run into
//! meshes, `render` draws them.

pub mod app;
pub mod banner_ui;
pub mod camera;
pub mod case_ui;
pub mod clearing;
pub mod command;
pub mod controls;
pub mod drain;
pub mod drive;
pub mod ear_ui;
pub mod export;
mod export_picker;
pub mod export_ui;
pub mod eyes_ui;
pub mod file_picker;
pub mod globe;
pub mod globe_ui;
pub mod happenings;
pub mod keys;
pub mod layout_ui;
mod load;
pub mod menu_ui;
pub mod notice;
pub mod playback;
pub mod render;
pub mod room_ui;
pub mod scene;
pub mod score;
pub mod score_ui;
pub mod session;
pub mod stage_data;
pub mod stage_ui;
mod style;
pub mod theme;
pub mod work;
