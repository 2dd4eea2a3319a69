//! One export at a time, on a thread of its own, with progress and a way to stop it.

use std::{
    path::{Path, PathBuf},
    sync::{Arc, mpsc},
    thread,
};

use eframe::egui_wgpu::RenderState;
use egui::{Theme, Vec2, vec2};
use lithodrome_rehearsal::{Rehearsed, write_trace};

use super::{
    Export, ExportError, Pictured, animation,
    studio::{Look, Studio},
    svg, whole,
};
use crate::{
    session::Session, work::progress::Progress, work::stage_data::Loaded, work::worker::Waker,
};

/// Size of the diagrams, points.
const DIAGRAMS: Vec2 = vec2(1280.0, 480.0);

/// What became of the last export.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Saved {
    /// It lies there.
    Done(PathBuf),
    /// It failed, in its own words.
    Failed(String),
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

    /// Starts to save what `still` shows, a copy of the window's state. One that is under way is stopped.
    pub fn start(&mut self, mut still: Session, export: Export, path: &Path, theme: Theme) {
        self.stop();
        self.saved = None;
        let (sender, answer) = mpsc::channel();
        let progress = Progress::new(self.waker.clone());
        let path = export.with_extension(path);
        let (card, told) = (self.card.clone(), progress.clone());
        thread::spawn(move || {
            let go_on = |done: f64| told.tell(done);
            let result = save(&mut still, export, &path, card.as_ref(), theme, &go_on);
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
            Err(ExportError::Cancelled) => None,
            Err(error) => Some(Saved::Failed(error.to_string())),
        };
    }
}

fn save(
    session: &mut Session,
    export: Export,
    path: &Path,
    card: Option<&RenderState>,
    theme: Theme,
    go_on: &dyn Fn(f64) -> bool,
) -> Result<(), ExportError> {
    let loaded = session.shown.clone().ok_or(ExportError::NoRun)?;
    let look = |pictured, for_film| Look {
        pictured,
        theme,
        size: match pictured {
            Pictured::Room | Pictured::Ear => vec2(800.0, 624.0),
            Pictured::Window if for_film => vec2(1200.0, 750.0),
            Pictured::Window => vec2(1440.0, 924.0),
        },
        scale: if for_film { 1.0 } else { 2.0 },
    };
    let studio = |pictured, for_film| {
        let card = card.ok_or(ExportError::NoCard)?;
        Ok::<_, ExportError>(Studio::new(card, look(pictured, for_film)))
    };
    match export {
        Export::Table => table(&loaded, path),
        Export::Diagrams => whole::file(path, |writer| {
            let text = svg::score_svg(
                &loaded,
                session.playback.time_s,
                session.preferences.traces(),
                DIAGRAMS,
            );
            writer
                .write_all(text.as_bytes())
                .map_err(|e| whole::write_error(path, &e))
        }),
        Export::Picture(pictured) => {
            let picture = studio(pictured, false)?.picture(session)?;
            whole::file(path, |writer| {
                let encoder = image::codecs::png::PngEncoder::new(writer);
                picture
                    .write_with_encoder(encoder)
                    .map_err(|e| whole::write_error(path, &std::io::Error::other(e)))
            })
        }
        Export::Animation(pictured) | Export::Sequence(pictured) => {
            let mut studio = studio(pictured, true)?;
            let moments = animation::moments_s(loaded.duration_s(), session.playback.speed);
            let make = match export {
                Export::Animation(_) => animation::gif,
                _ => animation::sequence,
            };
            make(&mut studio, session, &moments, path, go_on)
        }
    }
}

fn table(loaded: &Loaded, path: &Path) -> Result<(), ExportError> {
    let rehearsed = Rehearsed {
        run: loaded.run.clone(),
        eyes: loaded.eyes.clone(),
        report: loaded.report.clone(),
    };
    Ok(write_trace(&loaded.compiled, &rehearsed, path)?)
}
