//! What the session does with a wish about many ears.

use std::{
    hash::{DefaultHasher, Hash as _, Hasher as _},
    path::{Path, PathBuf},
    sync::Arc,
};

use lithodrome_rehearsal::{Scenario, read_scenario};
use lithodrome_study::{Question, Study, StudyFile, write_case};

use super::{
    VariantState,
    asked::study_of,
    command::VariantCommand,
    desk::{Answer, Found},
    form::Asked,
    searching::Searching,
    state::Part,
};
use crate::session::{Session, state::WindowWish};

impl Session {
    /// Does what was asked.
    pub(crate) fn apply_variant(&mut self, command: VariantCommand) {
        match command {
            VariantCommand::Clear => {
                let folder = self.variant.folder.take();
                self.variant = VariantState {
                    folder,
                    ..VariantState::default()
                };
            }
            VariantCommand::Write(form) => {
                let before = std::mem::replace(&mut self.variant.form, *form);
                if self.variant.form.asked != before.asked {
                    self.variant.folded = false;
                }
                let limits = self.variant.form.limits;
                if limits != before.limits {
                    self.variant.searching.again(&limits, self.worker.waker());
                }
            }
            VariantCommand::Fold(folded) => self.variant.folded = folded,
            VariantCommand::Start => self.ask_many_ears(),
            VariantCommand::StudyPath(path) => self.variant.study_path = path,
            VariantCommand::PickStudy => self.for_window.push(WindowWish::PickStudy),
            VariantCommand::StartFile => self.compute_study_file(),
            VariantCommand::Cancel => {
                self.variant.desk.stop();
                self.variant.searching.cancel();
            }
            VariantCommand::Show(part) => self.variant.part = part,
            VariantCommand::ShowSequence(sequence) => self.variant.sequence = sequence,
            VariantCommand::OpenEar { sequence, ear } => self.open_ear(sequence, ear),
            VariantCommand::OpenSequence(sequence) => {
                let found = self.variant.found.as_ref();
                let sequence = found.and_then(|f| f.study.sequences.get(sequence));
                if let Some(sequence) = sequence {
                    let scenario = sequence.scenario.clone();
                    self.open_new(scenario);
                }
            }
            VariantCommand::OpenSearched => {
                let searched = self.variant.searching.searched.as_ref();
                if let Some(scenario) = searched.and_then(|s| s.found.clone()) {
                    self.open_new(scenario);
                }
            }
            VariantCommand::KeepIn(folder) => self.variant.folder = Some(folder),
        }
    }

    fn ask_many_ears(&mut self) {
        let draft = self.draft.as_ref().map(|d| d.scenario().clone());
        let form = &self.variant.form;
        let (study, asked) = (study_of(form, draft.as_deref()), form.asked);
        let searches = asked == Asked::WithinLimits && study.is_ok();
        self.compute_study(study, asked);
        if searches {
            // As it is asked now, whatever the form and the open scenario are when it begins.
            let variant = &mut self.variant;
            variant.searching.plan(&variant.form, draft.as_deref());
        }
    }

    /// A study file as it is, whatever the form says.
    fn compute_study_file(&mut self) {
        let path = PathBuf::from(self.variant.study_path.trim());
        let folder = path.parent().unwrap_or(Path::new(""));
        let study = StudyFile::read(&path).and_then(|file| file.resolve(folder));
        let study = study.map_err(|error| error.in_file(&path).to_string());
        let several = study
            .as_ref()
            .is_ok_and(|study| study.file.sequences.len() > 1);
        let asked = if several {
            Asked::Gentler
        } else {
            Asked::MostEars
        };
        self.compute_study(study, asked);
    }

    fn compute_study(&mut self, study: Result<Study, String>, asked: Asked) {
        let waker = self.worker.waker();
        let variant = &mut self.variant;
        variant.desk.stop();
        variant.searching = Searching::default();
        variant.told = None;
        match study {
            Ok(study) => {
                variant.part = match asked {
                    Asked::WithinLimits => Part::Limits,
                    Asked::MostEars if !study.file.sweep.is_empty() => Part::Heat,
                    Asked::MostEars | Asked::Gentler => Part::Share,
                };
                variant.sequence = 0;
                variant.found_is_new = false;
                let folder = variant.folder.clone();
                variant.desk.start(study, asked, folder, waker);
            }
            Err(words) => variant.told = Some(words),
        }
    }

    /// Takes over what was found meanwhile.
    pub(crate) fn take_variant_work(&mut self) {
        let variant = &mut self.variant;
        match variant.desk.take() {
            Some(Answer::Found(found)) => {
                variant.found = Some(Arc::from(found));
                variant.folded |= !variant.found_is_new;
                variant.found_is_new = true;
            }
            Some(Answer::Failed(words)) => variant.told = Some(words),
            Some(Answer::Done) | None => {}
        }
        // One after the other: both want all processors.
        if !variant.desk.is_busy() {
            variant.searching.begin(self.worker.waker());
        }
        variant.searching.take();
    }

    fn open_ear(&mut self, sequence: usize, ear: u32) {
        let (Some(found), Some(folder)) = (&self.variant.found, &self.variant.folder) else {
            self.variant.told = Some("there is no folder to keep this ear in".to_owned());
            return;
        };
        match case_of(found, folder, sequence, ear) {
            Ok(scenario) => {
                self.variant.told = None;
                self.open_new(scenario);
            }
            Err(words) => self.variant.told = Some(words),
        }
    }
}

/// The scenario of one ear; its anatomy is written into the folder and named by its whole path.
fn case_of(found: &Found, folder: &Path, sequence: usize, ear: u32) -> Result<Scenario, String> {
    let question = found.study.question().map_err(|e| e.to_string())?;
    // Ears of other populations have a folder of their own, so that none is written over by another.
    let folder = folder.join(name_of_population(&question));
    std::fs::create_dir_all(&folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    let path = write_case(&question, sequence, ear, &folder).map_err(|e| e.to_string())?;
    let mut scenario = read_scenario(&path).map_err(|e| e.to_string())?;
    let anatomy = std::path::absolute(folder.join(&scenario.anatomy));
    let anatomy = anatomy.map_err(|e| e.to_string())?;
    scenario.anatomy = anatomy.display().to_string();
    Ok(scenario)
}

/// The same for the same mixture, anatomy and seed.
fn name_of_population(question: &Question) -> String {
    let of = &question.population;
    let mut hasher = DefaultHasher::new();
    format!("{:?} {:?} {}", of.mixture, of.mean, of.seed).hash(&mut hasher);
    format!("{:016x}", hasher.finish())
}
