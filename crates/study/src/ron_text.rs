//! RON files of this crate, with file, line and column where they fail.

use std::path::Path;

use lithodrome_labyrinth::text::parser_words;
use lithodrome_rehearsal::RehearsalError;
use ron::extensions::Extensions;
use ron::ser::PrettyConfig;
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::StudyError;

/// The text of a file.
pub(crate) fn read_text(path: &Path) -> Result<String, StudyError> {
    Ok(lithodrome_rehearsal::read_text(path)?)
}

/// The text of a file of rows, however long.
pub(crate) fn read_long_text(path: &Path) -> Result<String, StudyError> {
    let fault = |reason: String| {
        StudyError::Rehearsal(RehearsalError::Read {
            path: path.to_owned(),
            reason,
        })
    };
    // A pipe would be waited for without end.
    if std::fs::metadata(path).is_ok_and(|m| !m.is_file()) {
        return Err(fault("it is not a regular file".to_owned()));
    }
    std::fs::read_to_string(path).map_err(|e| fault(e.to_string()))
}

/// What a text says; optional values are written plainly.
pub(crate) fn parse<T: DeserializeOwned>(text: &str, path: &Path) -> Result<T, StudyError> {
    options().from_str(text).map_err(|e| {
        StudyError::Rehearsal(RehearsalError::Syntax {
            path: path.to_owned(),
            line: e.span.start.line,
            column: e.span.start.col,
            reason: parser_words(&e.code),
        })
    })
}

/// The text that says this in one line.
pub(crate) fn to_line(value: &impl Serialize) -> Result<String, StudyError> {
    options()
        .to_string(value)
        .map_err(|e| StudyError::Text(e.to_string()))
}

/// The text that says this, entry by entry.
pub(crate) fn to_text(value: &impl Serialize) -> Result<String, StudyError> {
    let layout = PrettyConfig::new().depth_limit(3).new_line("\n");
    let text = options().to_string_pretty(value, layout);
    text.map(|t| t + "\n")
        .map_err(|e| StudyError::Text(e.to_string()))
}

fn options() -> ron::Options {
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}
