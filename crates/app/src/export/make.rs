//! Makes what is taken out: a picture, a table, the diagrams, a film.

use std::path::Path;

use eframe::egui_wgpu::RenderState;
use egui::{Theme, Vec2, vec2};
use lithodrome_rehearsal::{check_output, write_trace};

use super::{
    Export, ExportError, Pictured, animation,
    moment::speed_words,
    studio::{Look, Studio},
    study, svg, written,
};
use crate::{
    lesson::{self, clears},
    session::Session,
    work::stage_data::Loaded,
};

/// Size of the diagrams, points.
const DIAGRAMS: Vec2 = vec2(1280.0, 480.0);

/// Starts to save what the session shows now, in this theme.
pub fn start(session: &mut Session, export: Export, path: &Path, theme: Theme) {
    if let Export::Study(what) = export {
        return study::start(session, what, path, theme);
    }
    let mut still = session.still();
    let card = session.export.card.clone();
    let inputs = session.files_open();
    session.export.start(export, path, move |path, go_on| {
        check_output(path, &inputs, true)?;
        save(&mut still, export, path, card.as_ref(), theme, go_on)
    });
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
            Pictured::Words => vec2(960.0, 600.0),
            Pictured::Map => clears::picture_size(&session.lesson.clears),
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
        Export::Table if loaded.hidden => Err(ExportError::Hidden),
        Export::Table => {
            written::unless_stopped(go_on)?;
            table(&loaded, path)
        }
        Export::Diagrams => {
            let traces = session.preferences.traces();
            let now = (session.playback.time_s, session.ear_shown());
            let text = svg::score_svg(&loaded, now, traces, DIAGRAMS);
            written::text(path, &text, go_on)
        }
        Export::MapDrawing => {
            let text = clears::map_svg(&session.lesson.clears);
            written::text(path, &text, go_on)
        }
        Export::Debrief => {
            written::unless_stopped(go_on)?;
            lesson::debrief_page::write(&session.lesson, path)
        }
        Export::Picture(pictured) => {
            let picture = studio(pictured, false)?.picture(session)?;
            written::png(path, &picture, go_on)
        }
        // Taken out above.
        Export::Study(_) => Err(ExportError::NoRun),
        Export::Animation(pictured) | Export::Sequence(pictured) => {
            let mut studio = studio(pictured, true)?;
            let from_s = match pictured {
                Pictured::Words => session.lesson.told_from_s(),
                _ => 0.0,
            };
            let moments = animation::moments_s(from_s, loaded.duration_s(), session.playback.speed);
            studio.speed = Some(speed_words(&moments, animation::PER_SECOND));
            let make = match export {
                Export::Animation(_) => animation::gif,
                _ => animation::sequence,
            };
            make(&mut studio, session, &moments, path, go_on)
        }
    }
}

fn table(loaded: &Loaded, path: &Path) -> Result<(), ExportError> {
    Ok(write_trace(
        &loaded.compiled,
        &loaded.run,
        &loaded.eyes,
        path,
    )?)
}
