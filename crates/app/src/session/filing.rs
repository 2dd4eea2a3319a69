//! What the session does with files: opens, saves, keeps safe, recovers.

use std::{path::PathBuf, sync::Arc};

use lithodrome_rehearsal::{Scenario, check_output, write_scenario};

use super::{
    Session,
    autosave::{Autosave, Kept, Left, Orphan},
    command::{Command, Dialog, FileCommand},
    draft::Draft,
    edit::{Edit, StepsEdit},
    state::WindowWish,
};
use crate::{
    work::library::library,
    work::load::{self, Job},
    work::stage_data::{Loaded, Origin},
    work::worker::Purpose,
};

impl Session {
    pub(crate) fn apply_file(&mut self, command: FileCommand) {
        match command {
            FileCommand::Open(path) => {
                self.close_dialog();
                self.compute(Origin::File(path));
            }
            FileCommand::OpenShipped => self.compute(Origin::Shipped),
            FileCommand::Reload => {
                if let Some(origin) = self.draft.as_ref().map(|d| d.origin.clone())
                    && origin != Origin::New
                {
                    self.compute(origin);
                }
            }
            FileCommand::Pick => self.for_window.push(WindowWish::PickFile),
            FileCommand::New => match load::shipped() {
                Ok(shipped) => self.open_draft(Draft::opened(new_like(shipped), Origin::New)),
                Err(error) => self.banner = Some(error.to_string()),
            },
            FileCommand::OpenFromLibrary(entry) => {
                if let Some(scenario) = library().get(entry).map(|e| e.scenario.clone()) {
                    self.open_new(scenario);
                }
            }
            FileCommand::Save => match self.draft.as_ref().map(|d| d.origin.clone()) {
                Some(Origin::File(path)) if !self.is_drive_of_saved() => self.save_to(path),
                Some(_) => self.for_window.push(WindowWish::PickSave),
                None => {}
            },
            FileCommand::SaveAs => self.for_window.push(WindowWish::PickSave),
            FileCommand::SaveTo(path) => self.save_to(path),
            FileCommand::DiscardChanges => {
                if let Some(draft) = &mut self.draft {
                    draft.forget_changes();
                }
                self.keep_safe();
                self.go_on();
            }
            FileCommand::Recover => self.recover(),
            FileCommand::DiscardRecovered => {
                if !self.orphans.is_empty() {
                    let orphan = self.orphans.remove(0);
                    if let Some(autosave) = &self.autosave {
                        autosave.remove(&orphan);
                    }
                }
                self.dialog = None;
                self.offer_recovery();
            }
            FileCommand::Quit => self.for_window.push(WindowWish::Quit),
        }
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

    /// Keeps drafts in a folder from now on, and offers those that a crash has left there.
    pub(crate) fn keep_drafts_in(&mut self, autosave: Autosave, left: Left) {
        self.autosave = Some(autosave);
        self.orphans = left.orphans;
        if !left.unreadable.is_empty() {
            self.banner = Some(left.unreadable.join(". "));
        }
        self.offer_recovery();
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

    fn is_drive_of_saved(&self) -> bool {
        self.draft.as_ref().is_some_and(Draft::is_drive_of_saved)
    }

    pub(crate) fn edit_what_was_opened(&mut self, loaded: &Loaded) {
        self.draft = Some(Draft::opened(
            loaded.scenario.clone(),
            loaded.origin.clone(),
        ));
        self.keep_safe();
    }

    pub(crate) fn open_draft(&mut self, draft: Draft) {
        self.dialog = None;
        self.banner = None;
        self.playback.playing = false;
        self.draft = Some(draft);
        self.recompute(Purpose::Fresh);
        self.keep_safe();
    }

    /// Opens a scenario that no file has yet.
    pub(crate) fn open_new(&mut self, scenario: Scenario) {
        self.open_draft(Draft::opened(scenario, Origin::New));
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

    /// The files that the open scenario is made of; nothing that is saved may take their place.
    pub(crate) fn files_open(&self) -> Vec<PathBuf> {
        match &self.draft {
            Some(draft) => match &draft.origin {
                Origin::File(path) => draft.scenario().files(path).to_vec(),
                Origin::Shipped | Origin::New => Vec::new(),
            },
            None => Vec::new(),
        }
    }

    fn save_to(&mut self, path: PathBuf) {
        let Some(draft) = &mut self.draft else { return };
        // Its anatomy is one of the files that it is made of; itself it may replace.
        let anatomy = &draft.scenario().files(&path)[1..];
        let written = check_output(&path, anatomy, true);
        match written.and_then(|()| write_scenario(draft.scenario(), &path)) {
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
    let (scenario, _) = Edit::Steps(StepsEdit::Insert(shipped.steps.len())).on(&shipped, 0);
    Scenario {
        title: "New scenario".to_owned(),
        steps: scenario.steps.into_iter().rev().take(1).collect(),
        notes: None,
        ..shipped
    }
}
