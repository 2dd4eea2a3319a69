//! Makes what is taken out: a picture, a table, the diagrams, a film.

use std::path::Path;

use eframe::egui_wgpu::RenderState;
use egui::{Theme, Vec2, vec2};
use lithodrome_rehearsal::{fill_whole, write_error, write_trace, write_whole};

use super::{
    Export, ExportError, Pictured, animation,
    moment::speed_words,
    studio::{Look, Studio},
    svg,
};
use crate::{session::Session, work::stage_data::Loaded};

/// Size of the diagrams, points.
const DIAGRAMS: Vec2 = vec2(1280.0, 480.0);

/// Starts to save what the session shows now, in this theme.
pub fn start(session: &mut Session, export: Export, path: &Path, theme: Theme) {
    let mut still = session.still();
    let card = session.export.card.clone();
    session.export.start(export, path, move |path, go_on| {
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
        Export::Diagrams => {
            let traces = session.preferences.traces();
            let now = (session.playback.time_s, session.ear_shown());
            let text = svg::score_svg(&loaded, now, traces, DIAGRAMS);
            Ok(write_whole(path, |writer| {
                writer.write_all(text.as_bytes())
            })?)
        }
        Export::Picture(pictured) => {
            let picture = studio(pictured, false)?.picture(session)?;
            fill_whole(path, |writer| {
                let encoder = image::codecs::png::PngEncoder::new(writer);
                let written = picture.write_with_encoder(encoder);
                Ok(written.map_err(|e| write_error(path, &std::io::Error::other(e)))?)
            })
        }
        Export::Animation(pictured) | Export::Sequence(pictured) => {
            let mut studio = studio(pictured, true)?;
            let moments = animation::moments_s(loaded.duration_s(), session.playback.speed);
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
