//! Files that people write by hand, read with the place of what is wrong.

use std::path::Path;

use lithodrome_rehearsal::read_text;
use serde::de::DeserializeOwned;

use crate::VisitError;

/// Reads a file in RON, optional values written plainly.
pub(crate) fn from_ron<T: DeserializeOwned>(path: &Path) -> Result<T, VisitError> {
    let text = read_text(path)?;
    let plain = ron::extensions::Extensions::IMPLICIT_SOME;
    let options = ron::Options::default().with_default_extension(plain);
    options.from_str(&text).map_err(|e| VisitError::Syntax {
        path: path.to_owned(),
        line: e.span.start.line,
        column: e.span.start.col,
        reason: e.code.to_string(),
    })
}
