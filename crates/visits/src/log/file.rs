//! One visit as a file, as it is handed to the log.

use std::path::Path;

use super::entry::Visit;
use crate::VisitError;
use crate::ron_file::from_ron;

/// Reads a visit.
///
/// # Errors
/// A file that cannot be read or is no visit, with line and column; a code that looks like a name or a
/// date of birth.
pub fn visit_from_ron(path: &Path) -> Result<Visit, VisitError> {
    from_ron(path)
}
