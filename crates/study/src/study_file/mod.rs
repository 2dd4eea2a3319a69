//! Studies: the file, what it names, and what was found.

mod format;
mod report;

pub use format::{STUDY_FORMAT, Study, StudyCase, StudyFile};
pub use report::{StudyReport, report};
