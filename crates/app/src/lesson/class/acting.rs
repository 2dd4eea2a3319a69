//! What the session does with a wish about a class.

use std::path::{Path, PathBuf};

use lithodrome_rehearsal::{
    read_class_set, read_results, sums_by_learner, write_class_set, write_results,
};

use super::{command::ClassCommand, state::Told};
use crate::{
    lesson::{command::LessonCommand, state::LessonTab},
    session::Session,
};

impl Session {
    /// Does what was asked.
    pub(crate) fn apply_class(&mut self, command: &ClassCommand) {
        let class = &mut self.lesson.class;
        match command {
            ClassCommand::SetPath(path) => class.set_path.clone_from(path),
            ClassCommand::ResultsPath(path) => class.results_path.clone_from(path),
            ClassCommand::Form(form) => class.form = form.clone(),
            ClassCommand::OpenSet => {
                let path = typed(&class.set_path);
                class.told = match read_class_set(&path) {
                    Ok(set) => {
                        class.set = Some(set);
                        None
                    }
                    Err(error) => Some(Told::Failed(error.to_string())),
                };
            }
            ClassCommand::Begin(at) => {
                let case = class.set.as_ref().and_then(|set| set.cases.get(*at));
                if let Some(case) = case.copied() {
                    self.lesson.seed = case.seed;
                    self.lesson.difficulty = case.difficulty;
                    self.lesson.tab = LessonTab::Case;
                    self.apply_lesson(&LessonCommand::Close);
                    self.apply_lesson(&LessonCommand::Begin);
                }
            }
            ClassCommand::WriteSet => {
                let (path, set) = (typed(&class.set_path), class.form.set());
                let written = new_file(&path)
                    .and_then(|()| write_class_set(&path, &set).map_err(|e| e.to_string()));
                if written.is_ok() {
                    class.set = Some(set);
                }
                class.told = Some(told(written, &path));
            }
            ClassCommand::ReadResults => {
                let path = typed(&class.results_path);
                class.told = match read_results(&path) {
                    Ok(rows) => {
                        class.sums = sums_by_learner(&rows);
                        None
                    }
                    Err(error) => Some(Told::Failed(error.to_string())),
                };
            }
            ClassCommand::WriteResults => {
                let path = typed(&class.results_path);
                let written = new_file(&path)
                    .and_then(|()| write_results(&path, &class.here).map_err(|e| e.to_string()));
                class.told = Some(told(written, &path));
            }
        }
    }
}

fn typed(path: &str) -> PathBuf {
    PathBuf::from(path.trim())
}

/// Nothing that is there is written over.
fn new_file(path: &Path) -> Result<(), String> {
    if path.exists() {
        return Err(format!(
            "{} is there already; choose another name",
            path.display()
        ));
    }
    Ok(())
}

fn told(written: Result<(), String>, path: &Path) -> Told {
    match written {
        Ok(()) => Told::Done(format!("Written to {}.", path.display())),
        Err(words) => Told::Failed(words),
    }
}
