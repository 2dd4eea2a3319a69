//! From the text of a trace to its sensors' readings.

use std::path::Path;

use lithodrome_chair::AngleSample;
use nalgebra::UnitQuaternion;

use super::columns::{Columns, SensorColumns, columns_of};
use super::faults::faults_of;
use super::problem::{Problem, ProblemKind};
use super::raw_row::{RawRow, quaternion};
use crate::VisitError;

/// Most rows of a trace: four hours at 100 a second.
const MOST_ROWS: usize = 1_500_000;
/// The most that is read of a file, bytes.
const MOST_BYTES: u64 = 400_000_000;
/// Problems told before the rest is left out.
const MOST_PROBLEMS: usize = 20;

/// A whole recording.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// Its sensors in the order of the header; at least one.
    pub sensors: Vec<Sensor>,
}

/// One sensor over time.
#[derive(Clone, Debug, PartialEq)]
pub struct Sensor {
    /// Its name; "chair" if the header has none.
    pub name: String,
    /// What it told.
    pub reading: Reading,
}

/// What a sensor told.
#[derive(Clone, Debug, PartialEq)]
pub enum Reading {
    /// The chair's angles.
    Angles(Vec<AngleSample>),
    /// Time in s and `room_from_head`: room x forward, y left, z up.
    Orientations(Vec<(f64, UnitQuaternion<f64>)>),
}

/// Reads a trace.
///
/// # Errors
/// A file that cannot be read, or everything that is wrong with it, line by line.
pub fn read_trace(path: &Path) -> Result<Trace, VisitError> {
    let read_error = |reason: String| VisitError::Read {
        path: path.to_owned(),
        reason,
    };
    let data = std::fs::metadata(path).map_err(|e| read_error(e.to_string()))?;
    if !data.is_file() {
        return Err(read_error("it is not a file".to_owned()));
    }
    if data.len() > MOST_BYTES {
        let mb = MOST_BYTES / 1_000_000;
        return Err(read_error(format!("found more than {mb} MB")));
    }
    let text = std::fs::read_to_string(path).map_err(|e| read_error(e.to_string()))?;
    trace_from_csv(&text).map_err(|problems| VisitError::Trace {
        path: path.to_owned(),
        problems,
    })
}

/// Reads the text of a trace.
///
/// # Errors
/// The first twenty problems.
pub fn trace_from_csv(text: &str) -> Result<Trace, Vec<Problem>> {
    let at = |line: usize| move |kind: ProblemKind| Problem { line, kind };
    let mut table = csv::ReaderBuilder::new()
        .flexible(true)
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let header = table.headers().map_err(|e| {
        let reason = e.to_string();
        vec![at(1)(ProblemKind::NotATable { reason })]
    })?;
    let header_line = header.position().map_or(1, |p| p.line() as usize);
    let names: Vec<String> = header.iter().map(str::to_owned).collect();
    let columns = columns_of(&names)
        .map_err(|kinds| kinds.into_iter().map(at(header_line)).collect::<Vec<_>>())?;
    let mut rows = Vec::new();
    let mut problems = Vec::new();
    for record in table.records() {
        if problems.len() >= MOST_PROBLEMS {
            break;
        }
        if rows.len() >= MOST_ROWS {
            let allowed = MOST_ROWS;
            problems.push(at(0)(ProblemKind::TooManyRows { allowed }));
            break;
        }
        match record {
            Ok(record) => match row_of(&record, &columns) {
                Ok(row) => rows.push(row),
                Err(problem) => problems.push(problem),
            },
            Err(e) => {
                let line = e.position().map_or(0, |p| p.line() as usize);
                let reason = e.to_string();
                problems.push(at(line)(ProblemKind::NotATable { reason }));
                break;
            }
        }
    }
    if problems.is_empty() && rows.len() < 2 {
        let found = rows.len();
        problems.push(at(0)(ProblemKind::TooFewRows { found }));
    }
    if problems.is_empty() {
        problems = faults_of(&columns, &rows);
        problems.truncate(MOST_PROBLEMS);
    }
    if problems.is_empty() {
        Ok(trace_of(&columns, &rows))
    } else {
        Err(problems)
    }
}

fn row_of(record: &csv::StringRecord, columns: &Columns) -> Result<RawRow, Problem> {
    let line = record.position().map_or(0, |p| p.line() as usize);
    let (found, allowed) = (record.len(), columns.names.len());
    if found != allowed {
        let kind = ProblemKind::RowLength { found, allowed };
        return Err(Problem { line, kind });
    }
    let mut values = Vec::with_capacity(allowed);
    for (name, text) in columns.names.iter().zip(record) {
        match text.parse::<f64>() {
            Ok(value) if value.is_finite() => values.push(value),
            _ => {
                let kind = ProblemKind::NotANumber {
                    column: name.clone(),
                    found: text.chars().take(40).collect(),
                };
                return Err(Problem { line, kind });
            }
        }
    }
    let (column, s_per_unit) = columns.time;
    Ok(RawRow {
        line,
        time_s: values[column] * s_per_unit,
        values,
    })
}

fn trace_of(columns: &Columns, rows: &[RawRow]) -> Trace {
    let start_s = rows[0].time_s;
    let sensors = columns.sensors.iter().map(|(name, sensor)| Sensor {
        name: name.clone(),
        reading: match *sensor {
            SensorColumns::Angles([(yaw, yaw_rad), (track, track_rad)]) => Reading::Angles(
                rows.iter()
                    .map(|row| AngleSample {
                        time_s: row.time_s - start_s,
                        yaw_rad: row.values[yaw] * yaw_rad,
                        track_rad: row.values[track] * track_rad,
                    })
                    .collect(),
            ),
            SensorColumns::Quaternion(at) => Reading::Orientations(
                rows.iter()
                    .map(|row| (row.time_s - start_s, quaternion(row, at)))
                    .collect(),
            ),
        },
    });
    Trace {
        sensors: sensors.collect(),
    }
}
