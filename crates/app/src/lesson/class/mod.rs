//! A teacher's set of cases, the same for the class, and the class's results; all in files on this machine.

pub mod acting;
pub mod class_ui;
pub mod command;
pub mod state;
