//! Asks the desktop where to save, on a thread of its own.

use std::{
    path::PathBuf,
    sync::mpsc,
    thread,
    time::{Duration, Instant},
};

use crate::{
    export::Export,
    session::command::{Command, Dialog, ExportCommand, ViewCommand},
    work::progress::Waker,
};

/// An answer of "nothing" faster than this came from no person: there is no file window.
const TOO_FAST: Duration = Duration::from_millis(700);

struct Open {
    export: Export,
    name: String,
    since: Instant,
    answer: mpsc::Receiver<Option<PathBuf>>,
}

/// A save window that may be open.
#[derive(Default)]
pub(crate) struct ExportPicker {
    open: Option<Open>,
}

impl ExportPicker {
    /// Opens a save window, unless one is open.
    pub(crate) fn ask(&mut self, export: Export, name: String, waker: Waker) {
        if self.open.is_some() {
            return;
        }
        let (sender, answer) = mpsc::channel();
        let suggested = name.clone();
        thread::spawn(move || {
            let mut dialog = rfd::FileDialog::new()
                .set_title("Export")
                .set_file_name(&suggested);
            if !export.extension().is_empty() {
                let kind = export.extension();
                dialog = dialog.add_filter(kind.to_uppercase(), &[kind]);
            }
            let _ = sender.send(dialog.save_file());
            waker();
        });
        self.open = Some(Open {
            export,
            name,
            since: Instant::now(),
            answer,
        });
    }

    /// What the person chose, once; a path field where the desktop has no file window.
    pub(crate) fn answer(&mut self) -> Option<Command> {
        let open = self.open.as_ref()?;
        let answer = match open.answer.try_recv() {
            Ok(answer) => answer,
            Err(mpsc::TryRecvError::Empty) => return None,
            Err(mpsc::TryRecvError::Disconnected) => None,
        };
        let open = self.open.take()?;
        match answer {
            Some(path) => Some(Command::Export(ExportCommand::To(open.export, path))),
            None if open.since.elapsed() < TOO_FAST => Some(Command::View(ViewCommand::Show(
                Dialog::ExportPath(open.export, open.name),
            ))),
            None => None,
        }
    }
}
