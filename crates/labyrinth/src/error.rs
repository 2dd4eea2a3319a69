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
