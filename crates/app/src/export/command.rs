//! What can be asked about taking things out.

use std::path::PathBuf;

use super::Export;

/// A wish about an export.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ExportCommand {
    /// Ask the desktop where to save.
    Pick(Export),
    /// Save there.
    To(Export, PathBuf),
    /// Stop saving.
    Cancel,
    /// Take the word about the last export away.
    DismissSaved,
}
