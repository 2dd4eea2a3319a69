//! What the window knows of a variant.

/// All of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct VariantState {}
