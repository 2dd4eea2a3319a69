//! What can go wrong with a scenario, in words for people.

use std::fmt::Display;
use std::path::{Path, PathBuf};

use lithodrome_chair::MotionError;
use lithodrome_debris::{ModelError, SimulateError};
use lithodrome_labyrinth::AnatomyError;

use crate::field_words::in_words;
use crate::units::tidy;
use lithodrome_labyrinth::text::quoted;

/// A field with a value that cannot be: its place in words and, for whoever writes the file, its path.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error(
    "{}{field}: found {found}, allowed is {allowed}",
    place_in_words(field)
)]
pub struct FieldError {
    /// Path of the field, counted from 1 as people do: "steps[2].hold_s".
    pub field: String,
    /// The value.
    pub found: String,
    /// What would be right.
    pub allowed: String,
}

impl FieldError {
    /// Place, what was found and what is allowed, without the path.
    pub fn words(&self) -> String {
        let (place, found, allowed) = (in_words(&self.field), &self.found, &self.allowed);
        format!("{place}: found {found}, allowed is {allowed}")
    }

    pub(crate) fn new(
        field: impl Into<String>,
        found: &dyn Display,
        allowed: impl Into<String>,
    ) -> FieldError {
        FieldError {
            field: field.into(),
            found: quoted(&found.to_string()),
            allowed: allowed.into(),
        }
    }
}

/// Everything that can go wrong from file to report.
#[derive(Debug, thiserror::Error)]
pub enum RehearsalError {
    /// The file cannot be read.
    #[error("{path}: cannot be read, {reason}", path = path.display())]
    Read {
        /// Which file.
        path: PathBuf,
        /// Why.
        reason: String,
    },
    /// The file is larger than any sensible one.
    #[error(
        "{path}: found more than {mb} MB, allowed are {mb} MB",
        path = path.display(),
        mb = allowed_bytes / 1_000_000
    )]
    TooLarge {
        /// Which file.
        path: PathBuf,
        /// The most that is read.
        allowed_bytes: u64,
    },
    /// The text is not a scenario.
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
    /// The file is of another version of the format.
    #[error("{path}: format: found {found}, allowed is {allowed}", path = path.display())]
    Format {
        /// Which file.
        path: PathBuf,
        /// Version in the file.
        found: u32,
        /// Version that is understood.
        allowed: u32,
    },
    /// A value is out of range.
    #[error("{}{error}", place(path.as_deref()))]
    Field {
        /// Which file; `None` if the scenario is not from one.
        path: Option<PathBuf>,
        /// The field.
        error: FieldError,
    },
    /// The anatomy file cannot be used.
    #[error("{}{error}", anatomy_place(path, error))]
    Anatomy {
        /// The anatomy file, or the name of a shipped anatomy.
        path: PathBuf,
        /// What is wrong with it.
        error: AnatomyError,
    },
    /// The steps are not a motion.
    #[error("{}{error}", place(path.as_deref()))]
    Motion {
        /// Which file; `None` if the scenario is not from one.
        path: Option<PathBuf>,
        /// What is wrong with them.
        error: MotionError,
    },
    /// The run did not reach its end.
    #[error("{}{error}", place(path.as_deref()))]
    Simulate {
        /// Which file; `None` if the scenario is not from one.
        path: Option<PathBuf>,
        /// Why.
        error: SimulateError,
    },
    /// A body left the lumen: the run is worth nothing.
    #[error(
        "{}debris {debris} was {by_um:.0} µm outside the lumen at {time_s:.1} s, allowed are {allowed_um:.0} µm: \
         the move is too violent for this model",
        place(path.as_deref())
    )]
    LeftLumen {
        /// Which file; `None` if the scenario is not from one.
        path: Option<PathBuf>,
        /// Which body, from 1.
        debris: usize,
        /// How far at worst.
        by_um: f64,
        /// How far is allowed.
        allowed_um: f64,
        /// When it was worst.
        time_s: f64,
    },
    /// The run would take far longer than anybody waits for.
    #[error(
        "{}the run needs about {found:.0} million steps of single bodies, allowed are {allowed:.0} million: \
         shorten the holds or the shaking, or take fewer bodies or the other engine",
        place(path.as_deref())
    )]
    TooCostly {
        /// Which file; `None` if the scenario is not from one.
        path: Option<PathBuf>,
        /// Millions of steps.
        found: f64,
        /// Millions of steps.
        allowed: f64,
    },
    /// The output is a file that is read.
    #[error("{path}: is read here and cannot be written too", path = path.display())]
    IsInput {
        /// Which file.
        path: PathBuf,
    },
    /// The output is there already.
    #[error("{path}: is there already, --force replaces it", path = path.display())]
    Exists {
        /// Which file.
        path: PathBuf,
    },
    /// A result is not a number.
    #[error("{}the run gave no number for {what}", place(path.as_deref()))]
    NotFinite {
        /// Which file; `None` if the scenario is not from one.
        path: Option<PathBuf>,
        /// Which result.
        what: String,
    },
    /// A file cannot be written; what was there before is untouched.
    #[error("{path}: cannot be written, {reason}", path = path.display())]
    Write {
        /// Which file.
        path: PathBuf,
        /// Why.
        reason: String,
    },
}

impl RehearsalError {
    /// The message for who edits in the window and not in the file: a field in words, without its path.
    pub fn for_window(&self) -> String {
        match self {
            RehearsalError::Field { path, error } => {
                format!("{}{}", place(path.as_deref()), error.words())
            }
            other => other.to_string(),
        }
    }

    /// The same error with the file that it is about, where it did not know.
    #[must_use]
    pub fn in_file(mut self, file: &Path) -> RehearsalError {
        match &mut self {
            RehearsalError::Field { path, .. }
            | RehearsalError::Motion { path, .. }
            | RehearsalError::Simulate { path, .. }
            | RehearsalError::LeftLumen { path, .. }
            | RehearsalError::TooCostly { path, .. }
            | RehearsalError::NotFinite { path, .. } => {
                path.get_or_insert_with(|| file.to_owned());
            }
            RehearsalError::Read { .. }
            | RehearsalError::TooLarge { .. }
            | RehearsalError::Syntax { .. }
            | RehearsalError::Format { .. }
            | RehearsalError::Anatomy { .. }
            | RehearsalError::IsInput { .. }
            | RehearsalError::Exists { .. }
            | RehearsalError::Write { .. } => {}
        }
        self
    }
}

impl From<FieldError> for RehearsalError {
    fn from(error: FieldError) -> RehearsalError {
        RehearsalError::Field { path: None, error }
    }
}

impl From<MotionError> for RehearsalError {
    fn from(error: MotionError) -> RehearsalError {
        RehearsalError::Motion { path: None, error }
    }
}

impl From<ModelError> for FieldError {
    fn from(error: ModelError) -> FieldError {
        match error {
            ModelError::TooWide {
                group,
                found_um,
                allowed_um,
            } => FieldError::new(
                format!("debris[{group}].diameter_um"),
                &tidy(found_um),
                format!("less than {allowed_um:.0} µm, the width of the lumen where it starts"),
            ),
            ModelError::Full {
                group,
                found,
                allowed,
            } => FieldError::new(
                format!("debris[{group}].count"),
                &found,
                format!("at most {allowed}, which is all that fit where it starts"),
            ),
            ModelError::OutsideCanal {
                group,
                found_mm,
                least_mm,
                most_mm,
            } => FieldError::new(
                format!("debris[{group}].at.mm"),
                &found_mm,
                format!("{least_mm:.2} to {most_mm:.2} mm from the cupula"),
            ),
        }
    }
}

impl From<SimulateError> for RehearsalError {
    fn from(error: SimulateError) -> RehearsalError {
        RehearsalError::Simulate { path: None, error }
    }
}

/// The reason alone, without the number of the operating system.
pub fn io_reason(error: &std::io::Error) -> String {
    use std::io::ErrorKind;
    match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder".to_owned(),
        ErrorKind::PermissionDenied => "access is not allowed".to_owned(),
        ErrorKind::InvalidFilename => "the name is too long or not one of a file".to_owned(),
        ErrorKind::StorageFull => "the disk is full".to_owned(),
        _ => error.to_string(),
    }
}

fn place_in_words(field: &str) -> String {
    let words = in_words(field);
    if words == field {
        String::new()
    } else {
        format!("{words}, ")
    }
}

fn place(path: Option<&Path>) -> String {
    path.map_or_else(String::new, |p| format!("{}: ", p.display()))
}

/// Line and column follow the path without a space, as compilers write it.
fn anatomy_place(path: &Path, error: &AnatomyError) -> String {
    let separator = if matches!(error, AnatomyError::Syntax { .. }) {
        ":"
    } else {
        ": "
    };
    format!("{}{separator}", path.display())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_field_is_told_with_its_file_once_that_is_known() {
        let error = RehearsalError::from(FieldError::new("steps[2].hold_s", &-1, "0 or more"));
        assert_eq!(
            error.to_string(),
            "step 2, time at rest, steps[2].hold_s: found -1, allowed is 0 or more"
        );
        assert_eq!(
            error.in_file(Path::new("a.ron")).to_string(),
            "a.ron: step 2, time at rest, steps[2].hold_s: found -1, allowed is 0 or more"
        );
    }

    #[test]
    fn a_place_in_an_anatomy_file_reads_as_one_place() {
        let error = RehearsalError::Anatomy {
            path: PathBuf::from("ears/small.ron"),
            error: AnatomyError::Syntax {
                line: 3,
                column: 7,
                reason: "Expected float".to_owned(),
            },
        };
        assert_eq!(error.to_string(), "ears/small.ron:3:7: Expected float");
    }
}
