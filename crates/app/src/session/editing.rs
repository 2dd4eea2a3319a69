//! What the session does with the draft: edits, undo, and when it is computed.

use std::{path::Path, sync::Arc, time::Duration};

use super::{Session, command::EditCommand, draft::Draft, edit::Edit};
use crate::{
    work::library::library, work::load::Job, work::stage_data::Loaded, work::worker::Purpose,
};

/// The run of a changed draft is there sooner than this, mostly.
const SHORT: Duration = Duration::from_millis(250);

impl Session {
    /// The draft has changes that no file has.
    pub fn is_dirty(&self) -> bool {
        self.draft.as_ref().is_some_and(Draft::is_dirty)
    }

    /// What is shown is the run of an older draft.
    pub fn is_stale(&self) -> bool {
        if self.drive.is_some() || self.lesson.aside.is_some() {
            return false;
        }
        match (&self.draft, &self.shown) {
            (Some(draft), Some(shown)) => **draft.scenario() != shown.scenario,
            _ => false,
        }
    }

    /// What is computed takes long enough to be told of; a short one would only flicker.
    pub fn computing_shows(&self) -> bool {
        self.until_computing_shows().is_none()
    }

    /// How long until what is computed shows; `None` if nothing is, or it need not wait.
    pub(crate) fn until_computing_shows(&self) -> Option<Duration> {
        let since = self.worker.since()?;
        if self.purpose != Purpose::Change {
            return None;
        }
        Some(SHORT.saturating_sub(since.elapsed())).filter(|wait| !wait.is_zero())
    }

    /// The scenario's name, with a mark if it is not saved, and the program's.
    pub(crate) fn window_title(&self) -> String {
        let Some(draft) = &self.draft else {
            return "Lithodrome".to_owned();
        };
        let mark = if draft.is_dirty() { " *" } else { "" };
        format!("{}{mark} – Lithodrome", draft.scenario().title)
    }

    /// A new run of the same draft: the cursor stays where it is.
    pub(crate) fn show_changed(&mut self, loaded: Loaded) {
        self.playback.duration_s = loaded.duration_s();
        self.playback.seek(self.playback.time_s);
        let ears = self.ear_shown();
        self.shown = Some(Arc::new(loaded));
        self.begin_debrief();
        if self.ear_shown() != ears {
            self.ear_camera = crate::stages::scene::ear_scene::home_camera(self.ear_shown());
        }
    }

    pub(crate) fn apply_edit(&mut self, command: EditCommand) {
        match command {
            EditCommand::Change(edit) => self.change(|draft| draft.edit(&edit, false)),
            EditCommand::Drag(edit) => self.change(|draft| draft.edit(&edit, true)),
            EditCommand::EndDrag => {
                if let Some(draft) = &mut self.draft {
                    draft.end_drag();
                }
            }
            EditCommand::Undo => self.change(Draft::undo),
            EditCommand::Redo => self.change(Draft::redo),
            EditCommand::Compute => self.recompute(Purpose::Change),
            EditCommand::CancelWork => self.worker.cancel(),
            EditCommand::ChooseStep(step) => {
                if let Some(draft) = &mut self.draft {
                    draft.chosen = step;
                }
            }
            EditCommand::TakeManoeuvre(entry) => {
                if let Some(scenario) = library().get(entry).map(|e| e.scenario.clone()) {
                    let edit = Edit::Manoeuvre(Box::new(scenario));
                    self.change(|draft| draft.edit(&edit, false));
                }
            }
        }
    }

    fn change(&mut self, how: impl FnOnce(&mut Draft) -> bool) {
        let Some(draft) = &mut self.draft else { return };
        if how(draft) {
            self.recompute(Purpose::Change);
            self.keep_safe();
        }
    }

    /// Computes the draft if it can be; what was shown stays until then.
    pub(crate) fn recompute(&mut self, purpose: Purpose) {
        let Some(draft) = &self.draft else { return };
        // The path of an anatomy file starts from where the scenario is.
        let by_path = Path::new(&draft.scenario().anatomy).extension().is_some();
        let same = self.shown.as_ref().is_some_and(|l| {
            l.scenario == **draft.scenario() && (l.origin == draft.origin || !by_path)
        });
        if draft.fault.is_some() || same {
            self.worker.cancel();
            return;
        }
        self.purpose = purpose;
        self.worker.start(Job {
            origin: draft.origin.clone(),
            draft: Some(draft.scenario().clone()),
        });
    }
}
