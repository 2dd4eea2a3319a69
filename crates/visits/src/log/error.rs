//! What can go wrong with the log.

use std::path::PathBuf;

/// Why the log cannot do what it was asked for.
#[derive(Debug, thiserror::Error)]
pub enum LogError {
    /// No folder for the user's data.
    #[error("log: this system names no folder for a user's data; name a file instead")]
    NoDataFolder,
    /// No log is there to be read.
    #[error("{path}: found no log, allowed is one in which a visit has been written down", path = path.display())]
    Missing {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// The file cannot be made or opened.
    #[error("{path}: the log cannot be opened, {reason}", path = path.display())]
    Open {
        /// Which file.
        path: PathBuf,
        /// Why.
        reason: String,
    },
    /// The file is no log of this program.
    #[error("{path}: found a file that is no log of visits, {reason}", path = path.display())]
    Foreign {
        /// Which file.
        path: PathBuf,
        /// Why.
        reason: String,
    },
    /// A newer program wrote it.
    #[error("{path}: found version {found} of the log, allowed is up to {allowed}; a newer program wrote it", path = path.display())]
    Newer {
        /// Which file.
        path: PathBuf,
        /// Its version.
        found: i64,
        /// The newest that is understood.
        allowed: i64,
    },
    /// Another window holds the log.
    #[error("{path}: the log is open in another window; here it can only be read", path = path.display())]
    ReadOnly {
        /// Which file.
        path: PathBuf,
    },
    /// A value that cannot be.
    #[error("{field}: found {found}, allowed is {allowed}")]
    Field {
        /// The field.
        field: String,
        /// The value.
        found: String,
        /// What would be right.
        allowed: &'static str,
    },
    /// The data base refused.
    #[error("{path}: the log refused, {reason}", path = path.display())]
    Database {
        /// Which file.
        path: PathBuf,
        /// Why.
        reason: String,
    },
    /// A file beside the log cannot be written.
    #[error(transparent)]
    File(#[from] crate::VisitError),
}
