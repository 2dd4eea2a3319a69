//! What the session does with the draft: edits, undo, files, recovery.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
    time::Duration,
};

use lithodrome_rehearsal::{Scenario, write_scenario};

use crate::{
    session::Session,
    session::autosave::{Autosave, Kept, Orphan},
    session::command::{Command, Dialog},
    session::draft::Draft,
    session::edit::Edit,
    work::library::library,
    work::load,
    work::load::Job,
    work::stage_data::{Loaded, Origin},
    work::worker::Purpose,
};

/// The run of a changed draft is there sooner than this, mostly.
const SHORT: Duration = Duration::from_millis(250);

impl Session {
    /// The draft has changes that no file has.
    pub fn is_dirty(&self) -> bool {
        self.draft.as_ref().is_some_and(Draft::is_dirty)
    }

    fn is_drive_of_saved(&self) -> bool {
        self.draft.as_ref().is_some_and(Draft::is_drive_of_saved)
    }

    /// What is shown is the run of an older draft.
    pub fn is_stale(&self) -> bool {
        if self.drive.is_some() {
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

    /// Keeps drafts in a folder from now on, and offers those that a crash has left there.
    pub(crate) fn keep_drafts_in(&mut self, autosave: Autosave, orphans: Vec<Orphan>) {
        self.autosave = Some(autosave);
        self.orphans = orphans;
        self.offer_recovery();
    }

    /// The drafts that a crash has left, unless something else is asked just now.
    pub(crate) fn offer_recovery(&mut self) {
        if self.dialog.is_none() && !self.orphans.is_empty() {
            self.dialog = Some(Dialog::Recover);
        }
    }

    /// What a crash has left, the latest.
    pub fn orphan(&self) -> Option<&Orphan> {
        self.orphans.first()
    }

    /// Holds back what would lose unsaved changes, and asks about them.
    pub(crate) fn ask_before_losing(&mut self, command: Command) -> Option<Command> {
        if command.leaves_the_scenario() && self.is_dirty() {
            self.after_saving = Some(command);
            self.dialog = Some(Dialog::Unsaved);
            return None;
        }
        Some(command)
    }

    pub(crate) fn edit_what_was_opened(&mut self, loaded: &Loaded) {
        self.draft = Some(Draft::opened(
            loaded.scenario.clone(),
            loaded.origin.clone(),
        ));
        self.keep_safe();
    }

    /// A new run of the same draft: the cursor stays where it is.
    pub(crate) fn show_changed(&mut self, loaded: Loaded) {
        self.playback.duration_s = loaded.duration_s();
        self.playback.seek(self.playback.time_s);
        let ears = self.ear_shown();
        self.shown = Some(Arc::new(loaded));
        if self.ear_shown() != ears {
            self.ear_camera = crate::stages::scene::ear_scene::home_camera(self.ear_shown());
        }
    }

    pub(crate) fn apply_edit(&mut self, command: Command) {
        match command {
            Command::Edit(edit) => self.change(|draft| draft.edit(&edit, false)),
            Command::EditOn(edit) => self.change(|draft| draft.edit(&edit, true)),
            Command::EndEdit => {
                if let Some(draft) = &mut self.draft {
                    draft.end_drag();
                }
            }
            Command::Undo => self.change(Draft::undo),
            Command::Redo => self.change(Draft::redo),
            Command::Compute => self.recompute(Purpose::Change),
            Command::ChooseStep(step) => {
                if let Some(draft) = &mut self.draft {
                    draft.chosen = step;
                }
            }
            Command::ShowTab(tab) => {
                self.case_tab = tab;
                self.case_folded = Some(false);
            }
            Command::SearchLibrary(words) => self.library_search = words,
            Command::TakeManoeuvre(entry) => {
                if let Some(scenario) = library().get(entry).map(|e| e.scenario.clone()) {
                    let edit = Edit::Manoeuvre(Box::new(scenario));
                    self.change(|draft| draft.edit(&edit, false));
                }
            }
            other => self.apply_to_files(other),
        }
    }

    fn apply_to_files(&mut self, command: Command) {
        match command {
            Command::New => match load::shipped() {
                Ok(shipped) => self.open_draft(Draft::opened(new_like(shipped), Origin::New)),
                Err(error) => self.banner = Some(error.to_string()),
            },
            Command::OpenFromLibrary(entry) => {
                if let Some(scenario) = library().get(entry).map(|e| e.scenario.clone()) {
                    self.open_draft(Draft::opened(scenario, Origin::New));
                }
            }
            Command::Save => match self.draft.as_ref().map(|d| d.origin.clone()) {
                Some(Origin::File(path)) if !self.is_drive_of_saved() => self.save_to(path),
                Some(_) => self.for_window.push(Command::SaveAs),
                None => {}
            },
            Command::SaveAs => self.for_window.push(command),
            Command::SaveTo(path) => self.save_to(path),
            Command::DiscardChanges => {
                if let Some(draft) = &mut self.draft {
                    draft.forget_changes();
                }
                self.keep_safe();
                self.go_on();
            }
            Command::Recover => self.recover(),
            Command::DiscardRecovered => {
                if !self.orphans.is_empty() {
                    let orphan = self.orphans.remove(0);
                    if let Some(autosave) = &self.autosave {
                        autosave.remove(&orphan);
                    }
                }
                self.dialog = None;
                self.offer_recovery();
            }
            _ => {}
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

    fn open_draft(&mut self, draft: Draft) {
        self.dialog = None;
        self.banner = None;
        self.playback.playing = false;
        self.draft = Some(draft);
        self.recompute(Purpose::Fresh);
        self.keep_safe();
    }

    /// What cannot be computed is shown as it was before the changes.
    fn recover(&mut self) {
        if self.orphans.is_empty() {
            return;
        }
        let orphan = self.orphans.remove(0);
        let Kept {
            file,
            saved,
            draft,
            drive,
        } = orphan.kept.clone();
        let origin = file.map_or(Origin::New, Origin::File);
        let mut draft = Draft::recovered(saved, draft, origin);
        if let Some(drive) = drive {
            draft.take(Arc::new(drive));
        }
        let before = draft.fault.is_some().then(|| draft.saved().clone());
        let origin = draft.origin.clone();
        self.open_draft(draft);
        if let Some(before) = before {
            self.purpose = Purpose::Fresh;
            self.worker.start(Job {
                origin,
                draft: Some(before),
            });
        }
        if let Some(autosave) = &self.autosave {
            autosave.remove(&orphan);
        }
        self.offer_recovery();
    }

    fn save_to(&mut self, path: PathBuf) {
        let Some(draft) = &mut self.draft else { return };
        match write_scenario(draft.scenario(), &path) {
            Ok(()) => {
                draft.saved_to(&path);
                self.banner = None;
                self.remember(path);
                self.recompute(Purpose::Change);
                self.keep_safe();
                self.go_on();
            }
            Err(error) => {
                self.banner = Some(error.to_string());
                self.close_dialog();
            }
        }
    }

    /// Does what waited for unsaved changes.
    fn go_on(&mut self) {
        self.dialog = None;
        if let Some(command) = self.after_saving.take() {
            self.apply(command);
        }
    }

    pub(crate) fn keep_safe(&self) {
        let (Some(autosave), Some(draft)) = (&self.autosave, &self.draft) else {
            return;
        };
        if draft.is_dirty() {
            autosave.keep(kept(draft, None));
        } else {
            autosave.forget();
        }
    }

    /// A drive under way is kept safe beside the draft that it is a drive of.
    pub(crate) fn keep_drive_safe(&self, record: &Scenario) {
        if let (Some(autosave), Some(draft)) = (&self.autosave, &self.draft) {
            autosave.keep(kept(draft, Some(record.clone())));
        }
    }
}

fn kept(draft: &Draft, drive: Option<Scenario>) -> Kept {
    Kept {
        file: match &draft.origin {
            Origin::File(path) => Some(path.clone()),
            Origin::Shipped | Origin::New => None,
        },
        saved: (**draft.saved()).clone(),
        draft: (**draft.scenario()).clone(),
        drive,
    }
}

/// One quiet step with the debris of a common case.
fn new_like(shipped: Scenario) -> Scenario {
    let (scenario, _) = Edit::InsertStep(shipped.steps.len()).on(&shipped, 0);
    Scenario {
        title: "New scenario".to_owned(),
        steps: scenario.steps.into_iter().rev().take(1).collect(),
        notes: None,
        ..shipped
    }
}
