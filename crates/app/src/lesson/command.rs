//! What can be asked about a hidden case.

/// A wish about a hidden case.
#[derive(Clone, Debug, PartialEq)]
pub enum LessonCommand {
    /// Begin anew, with nothing.
    Clear,
}
