//! What can be asked about the draft.

use super::edit::Edit;

/// A wish about the draft and its run.
#[derive(Clone, Debug, PartialEq)]
pub enum EditCommand {
    /// Change the draft.
    Change(Edit),
    /// Change the draft in the middle of a drag; the whole drag counts as one change.
    Drag(Edit),
    /// The drag is over.
    EndDrag,
    /// Take the last change back.
    Undo,
    /// Make it again.
    Redo,
    /// Compute the draft, after it was cancelled.
    Compute,
    /// Stop the computation under way.
    CancelWork,
    /// Choose the step that the table's buttons act on.
    ChooseStep(usize),
    /// Take the manoeuvre of an entry of the library, for this case.
    TakeManoeuvre(usize),
}
