//! One export at a time, on a thread of its own, with progress and a way to stop it.

use std::{
    path::{Path, PathBuf},
    sync::{Arc, mpsc},
    thread,
};

use eframe::egui_wgpu::RenderState;

use super::{Export, ExportError};
use crate::work::progress::{Progress, Waker};

/// What became of the last export.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Saved {
    /// It lies there.
    Done(PathBuf),
    /// It failed, in its own words.
    Failed(String),
    /// A person stopped it.
    Stopped,
}

struct Running {
    export: Export,
    progress: Arc<Progress>,
    answer: mpsc::Receiver<Result<PathBuf, ExportError>>,
}

/// Runs exports.
pub struct Exporter {
    /// The window's graphics card, if there is one.
    pub card: Option<RenderState>,
    /// What became of the last one, until read.
    pub saved: Option<Saved>,
    running: Option<Running>,
    waker: Waker,
}

impl Exporter {
    /// An idle one.
    pub fn new(waker: Waker) -> Self {
        Self {
            card: None,
            saved: None,
            running: None,
            waker,
        }
    }

    /// What is being saved and the share done.
    pub fn under_way(&self) -> Option<(Export, f32)> {
        let running = self.running.as_ref()?;
        Some((running.export, running.progress.share()))
    }

    /// Starts to save: `save` writes to a path and is told how to say the share done, which may stop it. One that
    /// is under way is stopped.
    pub(super) fn start(
        &mut self,
        export: Export,
        path: &Path,
        save: impl FnOnce(&Path, &dyn Fn(f64) -> bool) -> Result<(), ExportError> + Send + 'static,
    ) {
        self.stop();
        self.saved = None;
        let (sender, answer) = mpsc::channel();
        let progress = Progress::new(self.waker.clone());
        let path = export.with_extension(path);
        let told = progress.clone();
        thread::spawn(move || {
            let go_on = |done: f64| told.tell(done);
            let result = save(&path, &go_on);
            let _ = sender.send(result.map(|()| path));
            told.wake();
        });
        self.running = Some(Running {
            export,
            progress,
            answer,
        });
    }

    /// Stops what is under way; nothing of it is left.
    pub fn stop(&mut self) {
        if let Some(running) = self.running.take() {
            running.progress.stop();
            self.saved = Some(Saved::Stopped);
        }
    }

    /// Looks whether the export is done.
    pub fn take(&mut self) {
        let Some(running) = &self.running else { return };
        let result = match running.answer.try_recv() {
            Ok(result) => result,
            Err(mpsc::TryRecvError::Empty) => return,
            Err(mpsc::TryRecvError::Disconnected) => Err(ExportError::Card {
                reason: "the work ended before its time".to_owned(),
            }),
        };
        self.running = None;
        self.saved = match result {
            Ok(path) => Some(Saved::Done(path)),
            Err(ExportError::Cancelled) => Some(Saved::Stopped),
            Err(error) => Some(Saved::Failed(error.to_string())),
        };
    }
}
