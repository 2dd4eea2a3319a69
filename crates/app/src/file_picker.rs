//! Asks the desktop for a file, on a thread of its own.

use std::{
    path::PathBuf,
    sync::mpsc,
    thread,
    time::{Duration, Instant},
};

use crate::{
    command::{Command, Dialog},
    work::Waker,
};

/// An answer of "nothing" faster than this came from no person: there is no file window.
const TOO_FAST: Duration = Duration::from_millis(700);

/// A file window that may be open.
#[derive(Default)]
pub struct FilePicker {
    open: Option<(Instant, mpsc::Receiver<Option<PathBuf>>)>,
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
        match answer {
            Some(path) => Some(Command::Open(path)),
            None if quick => Some(Command::Show(Dialog::Path(String::new()))),
            None => None,
        }
    }
}
