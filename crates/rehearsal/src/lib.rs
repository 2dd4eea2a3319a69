//! One run from a file: scenario format, compile, run, report.

mod compile;
mod error;
mod rehearse;
mod report;
mod scenario;

pub use compile::{Compiled, compile};
pub use error::{FieldError, RehearsalError};
pub use rehearse::{Rehearsed, rehearse, rehearse_with_progress};
pub use report::{DebrisReport, Report, StepReport};
pub use scenario::{
    At, CupulaSide, DebrisEntry, Limits, Scenario, StartAngles, StepEntry, read_scenario,
    write_scenario,
};
