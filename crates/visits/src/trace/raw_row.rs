//! A row of a recorded trace as it stands in the file.

use nalgebra::{Quaternion, UnitQuaternion};

/// One row as it stands.
pub(super) struct RawRow {
    pub(super) line: usize,
    pub(super) time_s: f64,
    pub(super) values: Vec<f64>,
}

/// The orientation of a row.
pub(super) fn quaternion(row: &RawRow, [w, x, y, z]: [usize; 4]) -> UnitQuaternion<f64> {
    let v = &row.values;
    UnitQuaternion::from_quaternion(Quaternion::new(v[w], v[x], v[y], v[z]))
}
