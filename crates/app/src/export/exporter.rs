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
    /// A person stopped it, and nothing was written.
    Stopped,
    /// A person stopped it when it was written already.
    TooLate(PathBuf),
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
        // Where one before is still ending, nobody waits for what becomes of it.
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

    /// Asks what is under way to stop. Only it knows whether its file was written by then.
    pub fn stop(&mut self) {
        if let Some(running) = &self.running {
            running.progress.stop();
        }
    }

    /// It was asked to stop and has not answered yet.
    pub fn is_stopping(&self) -> bool {
        self.running
            .as_ref()
            .is_some_and(|running| running.progress.is_stopped())
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
        let stopped = running.progress.is_stopped();
        self.running = None;
        self.saved = match result {
            Ok(path) if stopped => Some(Saved::TooLate(path)),
            Ok(path) => Some(Saved::Done(path)),
            Err(ExportError::Cancelled) => Some(Saved::Stopped),
            Err(error) => Some(Saved::Failed(error.to_string())),
        };
    }
}

#[cfg(test)]
mod tests {
    use std::{fs, time::Duration};

    use super::*;
    use crate::export::{Export, written};

    /// Waits for what becomes of it.
    fn saved(exporter: &mut Exporter) -> Saved {
        let mut patience = 1000;
        loop {
            exporter.take();
            if let Some(saved) = exporter.saved.take() {
                return saved;
            }
            patience -= 1;
            assert!(patience > 0, "it does not end");
            thread::sleep(Duration::from_millis(10));
        }
    }

    #[test]
    fn what_is_stopped_before_it_is_written_leaves_the_file_as_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("table.csv");
        fs::write(&path, "before").unwrap();
        let mut exporter = Exporter::new(Arc::new(|| {}));
        let (told, waits) = mpsc::channel::<()>();
        exporter.start(Export::Table, &path, move |path, go_on| {
            let _ = waits.recv();
            written::text(path, "after", go_on)
        });
        exporter.stop();
        assert!(exporter.is_stopping() && exporter.saved.is_none());
        told.send(()).unwrap();
        assert_eq!(saved(&mut exporter), Saved::Stopped);
        assert_eq!(fs::read_to_string(&path).unwrap(), "before");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn what_is_stopped_too_late_says_that_it_was_written() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("table.csv");
        let mut exporter = Exporter::new(Arc::new(|| {}));
        let ((told, waits), (written, is_written)) = (mpsc::channel::<()>(), mpsc::channel());
        exporter.start(Export::Table, &path, move |path, go_on| {
            let done = written::text(path, "after", go_on);
            written.send(()).unwrap();
            let _ = waits.recv();
            done
        });
        is_written.recv().unwrap();
        exporter.stop();
        told.send(()).unwrap();
        assert_eq!(saved(&mut exporter), Saved::TooLate(path.clone()));
        assert_eq!(fs::read_to_string(&path).unwrap(), "after");
    }
}
