//! Numbers with their source and how far they may be off.

use serde::{Deserialize, Serialize};

/// How a number came to be known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum How {
    /// Read in the source.
    Read,
    /// Computed from numbers that were read.
    Derived,
    /// Recalled, not seen in the source.
    Memory,
    /// Chosen; no published number was found.
    Assumed,
    /// Fitted to published behaviour, which the source names.
    Calibrated,
}

/// A value and where it is from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sourced<T> {
    /// The value, in the unit that the field's name gives.
    pub value: T,
    /// Author, year, journal and place in it, or what the choice rests on.
    pub source: String,
    /// How it is known.
    pub how: How,
    /// Standard deviation between ears, in the unit of the value, where a population varies it.
    #[serde(default = "Option::default", skip_serializing_if = "Option::is_none")]
    pub sd: Option<T>,
    /// Least and most that the number may be, where nobody has measured it.
    #[serde(default = "Option::default", skip_serializing_if = "Option::is_none")]
    pub range: Option<[T; 2]>,
}

impl<T> Sourced<T> {
    /// A number without a spread.
    pub fn new(value: T, source: &str, how: How) -> Sourced<T> {
        Sourced {
            value,
            source: source.to_owned(),
            how,
            sd: None,
            range: None,
        }
    }
}
