//! Asks the desktop for a file, on a thread of its own.

use std::{
    path::PathBuf,
    sync::mpsc,
    thread,
    time::{Duration, Instant},
};

use crate::{
    session::command::{Command, Dialog, FileCommand, VariantCommand, ViewCommand},
    work::progress::Waker,
};

/// An answer of "nothing" faster than this came from no person: there is no file window.
const TOO_FAST: Duration = Duration::from_millis(700);

/// What a file window is open for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Wanted {
    /// A scenario to open.
    #[default]
    Scenario,
    /// A study file to compute.
    Study,
    /// Where to save the scenario, with the name offered.
    Saving(String),
}

/// A file window that may be open.
#[derive(Default)]
pub struct FilePicker {
    open: Option<(Instant, mpsc::Receiver<Option<PathBuf>>)>,
    wanted: Wanted,
}

impl FilePicker {
    /// Opens a file window, unless one is open.
    pub fn ask(&mut self, wanted: Wanted, waker: Waker) {
        if self.open.is_some() {
            return;
        }
        let (sender, receiver) = mpsc::channel();
        self.wanted = wanted.clone();
        self.open = Some((Instant::now(), receiver));
        thread::spawn(move || {
            let dialog = rfd::FileDialog::new();
            let path = match wanted {
                Wanted::Scenario => dialog
                    .set_title("Open a scenario")
                    .add_filter("Scenarios", &["ron"])
                    .add_filter("All files", &["*"])
                    .pick_file(),
                Wanted::Study => dialog
                    .set_title("Compute a study file")
                    .add_filter("Study files", &["ron"])
                    .add_filter("All files", &["*"])
                    .pick_file(),
                Wanted::Saving(name) => dialog
                    .set_title("Save the scenario")
                    .add_filter("Scenarios", &["ron"])
                    .set_file_name(name)
                    .save_file(),
            };
            let _ = sender.send(path);
            waker();
        });
    }

    /// What the person chose, once; a path field where the desktop has no file window.
    pub fn answer(&mut self) -> Option<Command> {
        let (since, receiver) = self.open.as_ref()?;
        let answer = match receiver.try_recv() {
            Ok(answer) => answer,
            Err(mpsc::TryRecvError::Empty) => return None,
            Err(mpsc::TryRecvError::Disconnected) => None,
        };
        let quick = since.elapsed() < TOO_FAST;
        self.open = None;
        let show = |dialog| Some(Command::View(ViewCommand::Show(dialog)));
        match (answer, std::mem::take(&mut self.wanted)) {
            (Some(path), Wanted::Scenario) => Some(Command::File(FileCommand::Open(path))),
            (Some(path), Wanted::Study) => {
                let path = path.display().to_string();
                Some(Command::Variant(VariantCommand::StudyPath(path)))
            }
            (Some(path), Wanted::Saving(_)) => {
                Some(Command::File(FileCommand::SaveTo(with_ending(path))))
            }
            (None, Wanted::Scenario) if quick => show(Dialog::Path(String::new())),
            (None, Wanted::Saving(name)) if quick => show(Dialog::SavePath(name)),
            // The path of a study is typed beside its button.
            (None, _) => None,
        }
    }
}

/// With ".ron" where a person typed a bare name.
pub fn with_ending(path: PathBuf) -> PathBuf {
    if path.extension().is_some() {
        path
    } else {
        path.with_extension("ron")
    }
}

/// A file name made of a title: "right-posterior-canal-whole-body-epley.ron".
pub fn name_of(title: &str) -> String {
    let words: Vec<String> = title
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(str::to_lowercase)
        .collect();
    if words.is_empty() {
        "scenario.ron".to_owned()
    } else {
        words.join("-") + ".ron"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_makes_a_file_name() {
        assert_eq!(
            name_of("Right posterior canal, whole-body Epley"),
            "right-posterior-canal-whole-body-epley.ron"
        );
        assert_eq!(name_of(" / "), "scenario.ron");
        assert_eq!(with_ending("a/b".into()), PathBuf::from("a/b.ron"));
        assert_eq!(with_ending("a/b.ron".into()), PathBuf::from("a/b.ron"));
    }
}
