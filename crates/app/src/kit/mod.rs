//! What every panel draws with: theme, small controls, fields, and whether drawing is slow.

pub mod controls;
pub mod dialog;
pub mod drawing;
pub mod ear_dots;
pub mod fields;
pub mod focus_ring;
pub mod menu;
pub mod path_dialog;
pub mod plot;
pub mod style;
pub mod theme;
