//! What can be wrong with an anatomy.

use crate::{Ear, Region};

/// Why an anatomy cannot be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum AnatomyError {
    /// The text is not an anatomy file.
    #[error("{line}:{column}: {reason}")]
    Syntax {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What is wrong there.
        reason: String,
    },
    /// A number is out of range.
    #[error("{field}: found {found}, allowed is {allowed}")]
    Range {
        /// Path of the field.
        field: String,
        /// The value.
        found: String,
        /// What would be right.
        allowed: String,
    },
    /// A row of a centre-line table is not a table's row.
    #[error("line {line}: {reason}")]
    Row {
        /// Line, from 1; the header is the first.
        line: u64,
        /// What is wrong there.
        reason: String,
    },
    /// A centre-line cannot be one of a labyrinth.
    #[error("line {line}, {canal} point {point}: {what}: found {found}, allowed is {allowed}")]
    Line {
        /// Line of the table, from 1; the header is the first.
        line: u64,
        /// Name in the first column.
        canal: &'static str,
        /// Which point of that centre-line, from 1.
        point: usize,
        /// What was looked at.
        what: &'static str,
        /// The value.
        found: String,
        /// What would be right.
        allowed: String,
    },
    /// A duct never meets the utricle.
    #[error("the {} of the {} ear does not reach the utricle", region.name(), ear.name())]
    NoOpening {
        /// Side.
        ear: Ear,
        /// Which part.
        region: Region,
    },
    /// Two parts that do not open into each other touch.
    #[error(
        "{} and {} are {gap_mm:.3} mm apart at x {:.2}, y {:.2}, z {:.2} mm, allowed is at least {least_mm:.3} mm",
        between[0].name(), between[1].name(), at_mm[0], at_mm[1], at_mm[2]
    )]
    Contact {
        /// The two parts.
        between: [Region; 2],
        /// Where, Reid axes.
        at_mm: [f64; 3],
        /// Wall to wall; negative if they overlap.
        gap_mm: f64,
        /// The least allowed.
        least_mm: f64,
    },
}
