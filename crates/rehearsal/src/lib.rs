//! One run from a file: scenario format, compile, run, report.
//!
//! [`read_scenario`] gives a [`Scenario`] in people's units; [`compile`] turns it into what the engines
//! take; [`rehearse`] computes it and sums it up in a [`Report`]. Files are read and written here and in
//! no crate before this one.

mod check;
mod compile;
mod drive;
mod error;
mod field_words;
mod files;
mod lesson;
mod library;
mod limits;
mod measures;
mod report;
mod rules;
mod run;
mod scenario;
mod scenario_file;
pub mod units;

pub use check::{Cost, check, check_limits};
pub use compile::*;
pub use drive::*;
pub use error::{FieldError, RehearsalError, io_reason};
pub use files::*;
pub use lesson::*;
pub use library::*;
pub use limits::*;
pub use lithodrome_labyrinth::text::{QUOTED, escaped, is_unsafe, quoted};
pub use measures::*;
pub use report::*;
pub use rules::*;
pub use run::*;
pub use scenario::*;
pub use scenario_file::{read_scenario, write_scenario};
