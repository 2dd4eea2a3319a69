//! The window of Lithodrome: one score below, two stages above.
//!
//! Panels (`*_ui`) read the [`session::Session`] and ask by [`command::Command`]; the session is the
//! one place that changes. `work` computes on its own thread, `scene` turns a moment of a run into
//! meshes, `render` draws them.

/// Name of the program's data folder, and of its window to the desktop.
pub const APP_ID: &str = "lithodrome";

pub mod angle_error;
pub mod app;
pub mod autosave;
pub mod banner_ui;
pub mod beside;
pub mod camera;
pub mod case_ui;
pub mod clearing;
pub mod command;
pub mod controls;
pub mod cupulae_ui;
pub mod debris_ui;
pub mod draft;
pub mod draft_dialogs;
pub mod drain;
pub mod drawing;
pub mod drive;
pub mod drive_aids_ui;
pub mod drive_dial;
pub mod drive_keys;
pub mod drive_ui;
mod driving;
pub mod ear_labels;
pub mod ear_ui;
pub mod edit;
pub mod edit_ui;
mod editing;
pub mod export;
mod export_picker;
pub mod export_ui;
pub mod eyes_ui;
pub mod fields;
pub mod file_picker;
pub mod ghost;
pub mod globe;
pub mod globe_ui;
pub mod happenings;
pub mod history;
pub mod keys;
pub mod layout_ui;
pub mod library_ui;
pub mod limits_ui;
mod load;
pub mod matter_ui;
pub mod menu_ui;
pub mod move_mark;
pub mod move_ui;
pub mod neck_ui;
pub mod notice;
pub mod playback;
pub mod progress;
pub mod render;
pub mod room_grip;
pub mod room_ui;
pub mod scene;
pub mod score;
pub mod score_ui;
pub mod session;
pub mod stage_data;
pub mod stage_ui;
pub mod steps_ui;
pub mod style;
pub mod theme;
pub mod watch_ui;
pub mod work;
