//! What can go wrong around a visit, in words for people.

use std::path::PathBuf;

use lithodrome_chair::MotionError;
use lithodrome_rehearsal::RehearsalError;

use crate::plan::PatientError;
use crate::trace::Problem;

/// Everything that can go wrong from plan to log.
#[derive(Debug, thiserror::Error)]
pub enum VisitError {
    /// The manoeuvre cannot be computed.
    #[error(transparent)]
    Rehearsal(#[from] RehearsalError),
    /// The file name does not say which kind of file is wanted.
    #[error("{path}: found {found}, allowed is a name that ends in .pdf or .svg", path = path.display())]
    SheetEnding {
        /// The file.
        path: PathBuf,
        /// Its ending.
        found: String,
    },
    /// A page cannot be set.
    #[error("sheet: {what}")]
    Setting {
        /// What went wrong.
        what: String,
    },
    /// A file cannot be read.
    #[error("{path}: cannot be read, {reason}", path = path.display())]
    Read {
        /// Which file.
        path: PathBuf,
        /// Why.
        reason: String,
    },
    /// A recorded trace has faults.
    #[error("{path}: {}", listed(problems), path = path.display())]
    Trace {
        /// Which file.
        path: PathBuf,
        /// Its faults, by line.
        problems: Vec<Problem>,
    },
    /// The text is no plan of a visit or no visit.
    #[error("{path}:{line}:{column}: {reason}", path = path.display())]
    Syntax {
        /// Which file.
        path: PathBuf,
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What is wrong there.
        reason: String,
    },
    /// A value is out of its range.
    #[error("{field}: found {found}, allowed is {allowed}")]
    Field {
        /// The field.
        field: String,
        /// The value.
        found: String,
        /// What would be right.
        allowed: &'static str,
    },
    /// A value of a patient cannot be.
    #[error(transparent)]
    Patient(#[from] PatientError),
    /// A sensor that the trace does not have.
    #[error("sensor: found {found}, allowed is {allowed}")]
    NoSuchSensor {
        /// The name.
        found: String,
        /// Names in the trace.
        allowed: String,
    },
    /// The head went where two axes do not take it.
    #[error(
        "sensor {sensor} at {at_s:.1} s: the head is {found_deg:.0}° out of the plane of the track, allowed are {allowed_deg:.0}°; two angles do not tell where it was"
    )]
    OffPlane {
        /// The sensor.
        sensor: String,
        /// How far, degrees.
        found_deg: f64,
        /// When, s.
        at_s: f64,
        /// The most that is taken, degrees.
        allowed_deg: f64,
    },
    /// The recording is not a motion.
    #[error(transparent)]
    Motion {
        /// Why.
        error: MotionError,
    },
    /// A file cannot be written.
    #[error("{path}: cannot be written, {reason}", path = path.display())]
    Write {
        /// Which file.
        path: PathBuf,
        /// Why.
        reason: String,
    },
}

/// Problems one after the other.
fn listed(problems: &[Problem]) -> String {
    let words: Vec<_> = problems.iter().map(ToString::to_string).collect();
    words.join("; ")
}
