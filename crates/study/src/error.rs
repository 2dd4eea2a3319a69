//! What can go wrong with many runs, in words for people.

use std::fmt::Display;
use std::path::{Path, PathBuf};

use lithodrome_labyrinth::AnatomyError;
use lithodrome_rehearsal::RehearsalError;

/// Why many runs could not be computed, or their results not be read.
#[derive(Debug, thiserror::Error)]
pub enum StudyError {
    /// A single run of the matrix failed.
    #[error("{manoeuvre}, debris of the {canal} ({mechanism}): {error}")]
    Run {
        /// Name of the manoeuvre.
        manoeuvre: &'static str,
        /// Side and canal.
        canal: String,
        /// Where the debris was.
        mechanism: &'static str,
        /// What went wrong.
        error: Box<RehearsalError>,
    },
    /// The threads could not be started.
    #[error("threads: found {found}, {reason}")]
    Threads {
        /// How many were asked for.
        found: usize,
        /// What went wrong.
        reason: String,
    },
    /// A file or a scenario.
    #[error("{0}")]
    Rehearsal(#[from] RehearsalError),
    /// A value is out of range.
    #[error("{}{field}: found {found}, allowed is {allowed}", place(path.as_deref()))]
    Field {
        /// Which file; `None` if it is not known.
        path: Option<PathBuf>,
        /// Path of the field, counted from 1.
        field: String,
        /// The value.
        found: String,
        /// What would be right.
        allowed: String,
    },
    /// The ear that others are drawn about cannot be built.
    #[error("anatomy: {0}")]
    Anatomy(#[from] AnatomyError),
    /// Somebody broke it off.
    #[error("broken off after {done} of {of} ears; what is done is kept where it was asked for")]
    Cancelled {
        /// Ears done.
        done: u32,
        /// Ears in all.
        of: u32,
    },
    /// Results of a part cannot be used.
    #[error("{path}: {reason}", path = path.display())]
    Part {
        /// Which file.
        path: PathBuf,
        /// What is wrong with it.
        reason: String,
    },
    /// A sequence is neither of the library nor a file.
    #[error("sequences: there is no \"{found}\" in the library and no such file{}", did_you_mean(nearest.as_deref()))]
    NoSequence {
        /// What was named.
        found: String,
        /// The library's manoeuvre that was most likely meant.
        nearest: Option<String>,
    },
    /// A folder cannot be read.
    #[error("{path}: cannot be read, {reason}", path = path.display())]
    Read {
        /// Which folder.
        path: PathBuf,
        /// Why.
        reason: String,
    },
    /// A table cannot be written.
    #[error("{path}: cannot be written, {reason}", path = path.display())]
    Write {
        /// Which file.
        path: PathBuf,
        /// Why.
        reason: String,
    },
    /// A value cannot be told as text.
    #[error("cannot be written as text: {0}")]
    Text(String),
}

impl StudyError {
    /// A field with a value that cannot be.
    pub(crate) fn field(field: &str, found: &dyn Display, allowed: &dyn Display) -> StudyError {
        StudyError::Field {
            path: None,
            field: field.to_owned(),
            found: found.to_string(),
            allowed: allowed.to_string(),
        }
    }

    /// The same error with the file that it is about, where it did not know.
    #[must_use]
    pub fn in_file(self, file: &Path) -> StudyError {
        match self {
            StudyError::Field {
                path: None,
                field,
                found,
                allowed,
            } => StudyError::Field {
                path: Some(file.to_owned()),
                field,
                found,
                allowed,
            },
            StudyError::Rehearsal(error) => StudyError::Rehearsal(error.in_file(file)),
            other => other,
        }
    }
}

fn did_you_mean(nearest: Option<&str>) -> String {
    nearest.map_or_else(String::new, |name| format!(": did you mean {name}?"))
}

fn place(path: Option<&Path>) -> String {
    path.map_or_else(String::new, |p| format!("{}: ", p.display()))
}
