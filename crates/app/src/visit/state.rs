//! What the window knows of a visit.

/// All of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct VisitState {}
