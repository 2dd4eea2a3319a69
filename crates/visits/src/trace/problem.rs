//! What can be wrong with a trace, each with its line.

/// One thing that is wrong.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Line of the file, counted from 1, the header's line; 0 for the file as a whole.
    pub line: usize,
    /// What.
    pub kind: ProblemKind,
}

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.line > 0 {
            write!(f, "line {}: ", self.line)?;
        }
        write!(f, "{}", self.kind)
    }
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ProblemKind {
    /// The text is not a table.
    #[error("not a table of comma-separated values, {reason}")]
    NotATable {
        /// Why.
        reason: String,
    },
    /// Nothing to run.
    #[error("found {found} rows, allowed are 2 or more")]
    TooFewRows {
        /// How many.
        found: usize,
    },
    /// More than any visit takes.
    #[error("found more than {allowed} rows, allowed are {allowed}")]
    TooManyRows {
        /// The most.
        allowed: usize,
    },
    /// The header names no time.
    #[error("no column for the time, allowed is time_s or time_ms")]
    NoTime,
    /// The header names no sensor.
    #[error(
        "no sensor, allowed are yaw_deg and track_deg (or _rad), or qw, qx, qy and qz, each with a sensor's name and a dot before it where there are several, as in head.qw"
    )]
    NoSensor,
    /// A column without its unit.
    #[error("column {column} does not name its unit, allowed is {allowed}")]
    NoUnit {
        /// The column.
        column: String,
        /// Names with a unit.
        allowed: String,
    },
    /// A column that is not known.
    #[error(
        "column {column} is not known, allowed are time_s, time_ms, yaw_deg, yaw_rad, track_deg, track_rad, qw, qx, qy, qz"
    )]
    UnknownColumn {
        /// The column.
        column: String,
    },
    /// A name that stands twice.
    #[error("column {column} stands there twice")]
    TwiceColumn {
        /// The column.
        column: String,
    },
    /// A sensor that lacks a column.
    #[error("sensor {sensor} has no column {missing}")]
    HalfSensor {
        /// The sensor.
        sensor: String,
        /// What it lacks.
        missing: String,
    },
    /// A row that is too short or too long.
    #[error("found {found} values, the header has {allowed}")]
    RowLength {
        /// How many.
        found: usize,
        /// How many there should be.
        allowed: usize,
    },
    /// Not a finite number.
    #[error("{column}: found \"{found}\", allowed is a finite number")]
    NotANumber {
        /// The column.
        column: String,
        /// What stands there.
        found: String,
    },
    /// Time runs backward.
    #[error("time runs backward, from {before_s} s to {found_s} s")]
    TimeBackward {
        /// Before.
        before_s: f64,
        /// Here.
        found_s: f64,
    },
    /// The same time again.
    #[error("time stands still at {at_s} s")]
    TimeStands {
        /// The time.
        at_s: f64,
    },
    /// Samples are missing.
    #[error(
        "a gap of {gap_s:.2} s where samples are {usual_s:.3} s apart; at most {allowed_s:.2} s can be bridged"
    )]
    Gap {
        /// How long.
        gap_s: f64,
        /// Usual time between samples.
        usual_s: f64,
        /// The longest that is taken.
        allowed_s: f64,
    },
    /// A turn that no chair makes.
    #[error(
        "{sensor} jumps by {turn_deg:.0}° in {within_s:.3} s, allowed are {allowed_deg_s:.0}°/s"
    )]
    Jump {
        /// The sensor.
        sensor: String,
        /// How far.
        turn_deg: f64,
        /// In what time.
        within_s: f64,
        /// Fastest turn that is taken.
        allowed_deg_s: f64,
    },
    /// A quaternion whose length is not 1.
    #[error("{sensor}: the quaternion has the length {found:.3}, allowed is 0.98 to 1.02")]
    Norm {
        /// The sensor.
        sensor: String,
        /// Its length.
        found: f64,
    },
    /// A length that wanders away from 1 over the recording.
    #[error(
        "{sensor}: the length of the quaternion drifts, from {from:.4} at the beginning to {to:.4} here; allowed is a change of 0.005"
    )]
    NormDrift {
        /// The sensor.
        sensor: String,
        /// At the beginning.
        from: f64,
        /// Here.
        to: f64,
    },
    /// Degrees that look like radians, seconds that look like milliseconds and the other way round.
    #[error("{column}: {found}, so these look like {looks_like}")]
    WrongUnit {
        /// The column.
        column: String,
        /// What was found.
        found: String,
        /// What they look like.
        looks_like: &'static str,
    },
}
