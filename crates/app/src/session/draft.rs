//! The scenario being edited: its history, what is on disk, and what is wrong with it.

use std::{path::Path, sync::Arc};

use lithodrome_labyrinth::Ear;
use lithodrome_rehearsal::{RehearsalError, Scenario, check, driven_title};

use crate::{session::edit::Edit, session::history::History, work::stage_data::Origin};

/// What is wrong with a draft, in the words of the terminal, but for a field's path.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Path of the field, if it is one field: "steps[2].hold_s".
    pub field: Option<String>,
    /// The whole message.
    pub words: String,
}

impl Fault {
    /// The fault of a scenario from somewhere.
    pub fn new(error: RehearsalError, origin: &Origin) -> Self {
        let field = match &error {
            RehearsalError::Field { error, .. } => Some(error.field.clone()),
            _ => None,
        };
        let error = match origin {
            Origin::File(path) => error.in_file(path),
            Origin::Shipped | Origin::New => error,
        };
        Self {
            field,
            words: error.for_window(),
        }
    }

    /// It is about this field, or about all of which this field is part.
    pub fn is_at(&self, field: &str) -> bool {
        self.field.as_deref() == Some(field)
    }
}

/// A scenario under edit.
#[derive(Clone, Debug)]
pub struct Draft {
    history: History<Arc<Scenario>>,
    saved: Arc<Scenario>,
    /// Where it came from and is saved to.
    pub origin: Origin,
    /// The step that the table's buttons act on.
    pub chosen: usize,
    /// Why it cannot be computed.
    pub fault: Option<Fault>,
}

impl Draft {
    /// A scenario as it was read.
    pub fn opened(scenario: Scenario, origin: Origin) -> Self {
        let scenario = Arc::new(scenario);
        Self {
            history: History::new(scenario.clone()),
            saved: scenario,
            origin,
            chosen: 0,
            fault: None,
        }
    }

    /// One that was not saved before a crash; `saved` is what it was before the changes.
    pub fn recovered(saved: Scenario, draft: Scenario, origin: Origin) -> Self {
        let mut recovered = Self::opened(saved, origin);
        recovered.history.change(Arc::new(draft));
        recovered.judge();
        recovered
    }

    /// As it is now.
    pub fn scenario(&self) -> &Arc<Scenario> {
        self.history.present()
    }

    /// As it is on disk, or was when opened.
    pub fn saved(&self) -> &Arc<Scenario> {
        &self.saved
    }

    /// The ears with debris, each once.
    pub fn ears(&self) -> impl Iterator<Item = Ear> {
        let debris = &self.scenario().debris;
        Ear::ALL
            .into_iter()
            .filter(|&ear| debris.iter().any(|d| d.ear == ear))
    }

    /// There are changes that no file has.
    pub fn is_dirty(&self) -> bool {
        !Arc::ptr_eq(self.history.present(), &self.saved) && *self.history.present() != self.saved
    }

    /// What is now is saved in a file.
    pub fn saved_to(&mut self, path: &Path) {
        self.origin = Origin::File(path.to_owned());
        self.forget_changes();
        self.judge();
    }

    /// What is now counts as saved.
    pub fn forget_changes(&mut self) {
        self.saved = self.history.present().clone();
    }

    /// Makes an edit; `dragging` joins it with those before it in the same drag. False if nothing changed.
    pub fn edit(&mut self, edit: &Edit, dragging: bool) -> bool {
        let (next, chosen) = edit.on(self.history.present(), self.chosen);
        self.chosen = chosen;
        let changed = if dragging {
            self.history.drag(Arc::new(next))
        } else {
            self.history.change(Arc::new(next))
        };
        self.judge();
        changed
    }

    /// Takes another scenario in the place of what is now, as one change: a drive of it.
    pub fn take(&mut self, scenario: Arc<Scenario>) -> bool {
        let changed = self.history.change(scenario);
        self.judge();
        changed
    }

    /// What is now is a drive of what was saved, which is not to be saved over its plan.
    pub fn is_drive_of_saved(&self) -> bool {
        let (now, saved) = (&self.scenario().title, &self.saved.title);
        now != saved && *now == driven_title(saved)
    }

    /// A drag is over.
    pub fn end_drag(&mut self) {
        self.history.close();
    }

    /// Goes back by one change.
    pub fn undo(&mut self) -> bool {
        let undone = self.history.undo();
        self.judge();
        undone
    }

    /// Takes back an undo.
    pub fn redo(&mut self) -> bool {
        let redone = self.history.redo();
        self.judge();
        redone
    }

    /// There is something to undo.
    pub fn can_undo(&self) -> bool {
        self.history.can_undo()
    }

    /// There is something to redo.
    pub fn can_redo(&self) -> bool {
        self.history.can_redo()
    }

    fn judge(&mut self) {
        let last = self.scenario().steps.len().saturating_sub(1);
        self.chosen = self.chosen.min(last);
        self.fault = check(self.scenario())
            .err()
            .map(|e| Fault::new(e.into(), &self.origin));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::edit::StepsEdit;
    use lithodrome_rehearsal::scenario_from_ron;

    fn draft() -> Draft {
        let text = "(format: 1, title: \"T\", steps: [(name: \"Wait\", move_s: 0.0, hold_s: 5.0)])";
        let scenario = scenario_from_ron(text, Path::new("t.ron")).unwrap();
        Draft::opened(scenario, Origin::File("t.ron".into()))
    }

    fn hold(draft: &Draft, hold_s: f64) -> Edit {
        let mut step = draft.scenario().steps[0].clone();
        step.hold_s = hold_s;
        Edit::Steps(StepsEdit::Set(0, step))
    }

    #[test]
    fn a_change_marks_and_its_undo_clears_the_mark() {
        let mut draft = draft();
        assert!(!draft.is_dirty());
        let longer = hold(&draft, 9.0);
        assert!(draft.edit(&longer, false) && draft.is_dirty());
        assert!(draft.undo() && !draft.is_dirty());
        assert!(draft.redo() && draft.is_dirty());
        draft.saved_to(Path::new("u.ron"));
        assert!(!draft.is_dirty());
        assert_eq!(draft.origin, Origin::File("u.ron".into()));
        assert!(draft.undo() && draft.is_dirty(), "back before the save");
    }

    #[test]
    fn a_fault_is_told_at_its_field_in_the_words_of_the_terminal() {
        let mut draft = draft();
        let wrong = hold(&draft, -1.0);
        draft.edit(&wrong, false);
        let fault = draft.fault.clone().unwrap();
        assert!(fault.is_at("steps[1].hold_s") && !fault.is_at("steps[1].move_s"));
        assert_eq!(
            fault.words,
            "t.ron: step 1, time at rest: found -1, allowed is 0 to 86400 s"
        );
        draft.undo();
        assert_eq!(draft.fault, None);
    }

    #[test]
    fn a_drive_is_one_change_and_not_to_be_saved_over_its_plan() {
        let mut draft = draft();
        let plan = draft.scenario().clone();
        let driven = Scenario {
            title: "T, as driven".to_owned(),
            ..(*plan).clone()
        };
        assert!(!draft.is_drive_of_saved());
        draft.take(Arc::new(driven));
        assert!(draft.is_dirty() && draft.is_drive_of_saved());
        draft.undo();
        assert!(*draft.scenario() == plan && !draft.is_drive_of_saved());
        draft.redo();
        draft.saved_to(Path::new("u.ron"));
        assert!(!draft.is_drive_of_saved());
    }

    #[test]
    fn what_is_recovered_is_one_change_from_what_was_saved() {
        let saved = (**draft().scenario()).clone();
        let (changed, _) = hold(&draft(), 9.0).on(&saved, 0);
        let mut recovered = Draft::recovered(saved.clone(), changed, Origin::New);
        assert!(recovered.is_dirty());
        recovered.undo();
        assert!(!recovered.is_dirty() && **recovered.scenario() == saved);
    }
}
