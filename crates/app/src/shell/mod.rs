//! The window's frame: app, panels, top bar, keys, notices.

pub mod app;
pub mod banner_ui;
pub mod draft_dialogs;
pub mod edit_ui;
pub mod file_picker;
pub mod keys;
pub mod layout_ui;
pub mod menu_ui;
pub mod notice;
pub mod scale;
pub mod start_check;
