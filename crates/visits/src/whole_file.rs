//! Writing whole files: into a temporary one beside the target, renamed when it is complete.

use std::io::Write;
use std::path::Path;

use crate::VisitError;

/// Writes a file, complete or not at all.
pub(crate) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), VisitError> {
    let error = |e: &std::io::Error| VisitError::Write {
        path: path.to_owned(),
        reason: e.to_string(),
    };
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let mut temporary = tempfile::Builder::new()
        .prefix(".lithodrome-")
        .tempfile_in(folder)
        .map_err(|e| error(&e))?;
    temporary
        .write_all(bytes)
        .and_then(|()| temporary.as_file().sync_all())
        .map_err(|e| error(&e))?;
    temporary.persist(path).map_err(|e| error(&e.error))?;
    Ok(())
}
