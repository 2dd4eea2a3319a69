//! Recorded traces: what a chair's or a head's sensors told over time.

mod columns;
mod faults;
mod orientation;
mod problem;
mod raw_row;
mod read;
mod rerun;

pub use orientation::{Recorded, angles_of};
pub use problem::{Problem, ProblemKind};
pub use read::{Reading, Sensor, Trace, read_trace, trace_from_csv};
pub use rerun::{Rerun, SensorApart, rerun};
