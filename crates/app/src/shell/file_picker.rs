//! Asks the desktop for a file, on a thread of its own.

use std::{
    path::PathBuf,
    sync::mpsc,
    thread,
    time::{Duration, Instant},
};

use crate::{
    session::command::{Command, Dialog, FileCommand, ViewCommand},
    work::progress::Waker,
};

/// An answer of "nothing" faster than this came from no person: there is no file window.
const TOO_FAST: Duration = Duration::from_millis(700);

/// A file window that may be open.
#[derive(Default)]
pub struct FilePicker {
    open: Option<(Instant, mpsc::Receiver<Option<PathBuf>>)>,
    /// The name offered where the window is for saving.
    saving: Option<String>,
}

impl FilePicker {
    /// Opens a file window, unless one is open.
    pub fn ask(&mut self, waker: Waker) {
        if self.open.is_some() {
            return;
        }
        let (sender, receiver) = mpsc::channel();
        thread::spawn(move || {
            let path = rfd::FileDialog::new()
                .set_title("Open a scenario")
                .add_filter("Scenarios", &["ron"])
                .add_filter("All files", &["*"])
                .pick_file();
            let _ = sender.send(path);
            waker();
        });
        self.saving = None;
        self.open = Some((Instant::now(), receiver));
    }

    /// Opens a file window for saving under a name, unless one is open.
    pub fn ask_where_to_save(&mut self, name: String, waker: Waker) {
        if self.open.is_some() {
            return;
        }
        let (sender, receiver) = mpsc::channel();
        let offered = name.clone();
        thread::spawn(move || {
            let path = rfd::FileDialog::new()
                .set_title("Save the scenario")
                .add_filter("Scenarios", &["ron"])
                .set_file_name(offered)
                .save_file();
            let _ = sender.send(path);
            waker();
        });
        self.saving = Some(name);
        self.open = Some((Instant::now(), receiver));
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
        match (answer, self.saving.take()) {
            (Some(path), None) => Some(Command::File(FileCommand::Open(path))),
            (Some(path), Some(_)) => Some(Command::File(FileCommand::SaveTo(with_ending(path)))),
            (None, None) if quick => Some(Command::View(ViewCommand::Show(Dialog::Path(
                String::new(),
            )))),
            (None, Some(name)) if quick => {
                Some(Command::View(ViewCommand::Show(Dialog::SavePath(name))))
            }
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
