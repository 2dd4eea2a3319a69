//! What can be asked about a visit.

/// A wish about a visit.
#[derive(Clone, Debug, PartialEq)]
pub enum VisitCommand {
    /// Begin anew, with nothing.
    Clear,
}
