//! What the window knows of a hidden case.

/// All of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LessonState {}
