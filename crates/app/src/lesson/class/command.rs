//! What can be asked about a class.

use super::state::SetForm;

/// A wish about a class.
#[derive(Clone, Debug, PartialEq)]
pub enum ClassCommand {
    /// The path of a set, as it is typed.
    SetPath(String),
    /// Open that set.
    OpenSet,
    /// Begin a case of the set, by its place in it.
    Begin(usize),
    /// The form of a new set.
    Form(SetForm),
    /// Write the new set to the path.
    WriteSet,
    /// The path of results, as it is typed.
    ResultsPath(String),
    /// Read results and sum them up.
    ReadResults,
    /// Write the results of this window there.
    WriteResults,
}
