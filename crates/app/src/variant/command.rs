//! What can be asked about a variant.

/// A wish about a variant.
#[derive(Clone, Debug, PartialEq)]
pub enum VariantCommand {
    /// Begin anew, with nothing.
    Clear,
}
