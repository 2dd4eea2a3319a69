//! Files that people write by hand, read with the place of what is wrong, and written so that they can be read.

use std::path::Path;

use lithodrome_labyrinth::text::parser_words;
use lithodrome_rehearsal::{read_text, write_whole};
use serde::{Serialize, de::DeserializeOwned};

use crate::VisitError;

/// Optional values are written plainly.
fn options() -> ron::Options {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
}

/// Reads a file in RON.
pub(crate) fn from_ron<T: DeserializeOwned>(path: &Path) -> Result<T, VisitError> {
    let text = read_text(path)?;
    options().from_str(&text).map_err(|e| VisitError::Syntax {
        path: path.to_owned(),
        line: e.span.start.line,
        column: e.span.start.col,
        reason: parser_words(&e.code),
    })
}

/// Writes a file in RON, whole or not at all.
pub(crate) fn to_ron<T: Serialize>(value: &T, path: &Path) -> Result<(), VisitError> {
    let text = options()
        .to_string_pretty(value, ron::ser::PrettyConfig::new())
        .map_err(|e| VisitError::Write {
            path: path.to_owned(),
            reason: e.to_string(),
        })?;
    Ok(write_whole(path, |w| w.write_all(text.as_bytes()))?)
}
