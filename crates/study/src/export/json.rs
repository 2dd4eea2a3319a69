//! A document as a JSON file.

use std::path::Path;

use serde::Serialize;

use crate::StudyError;

/// Writes a document.
pub fn write_json(document: &impl Serialize, path: &Path) -> Result<(), StudyError> {
    let text =
        serde_json::to_string_pretty(document).map_err(|e| StudyError::Text(e.to_string()))?;
    lithodrome_rehearsal::write_whole(path, |out| writeln!(out, "{text}"))?;
    Ok(())
}
