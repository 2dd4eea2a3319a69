//! The case column: who, what and where, the table of steps, the library.

pub mod case_ui;
pub mod clearing;
pub mod cupulae_ui;
pub mod debris_ui;
pub mod library_ui;
pub mod limits_ui;
pub mod matter_ui;
pub mod move_mark;
pub mod move_ui;
pub mod neck_ui;
pub mod steps_ui;
pub mod watch_ui;
