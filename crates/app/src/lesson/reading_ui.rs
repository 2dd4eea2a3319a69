//! Reading eyes: a recording without a label, words to choose from, agreement beyond chance.

use egui::{RichText, Sense, Ui, vec2};
use lithodrome_labyrinth::Vec3;
use lithodrome_nystagmus::sentence;
use lithodrome_rehearsal::{EyeWord, RecordedPart, Recording, cohen_kappa};

use super::{ask::push, command::LessonCommand};
use crate::{
    kit::controls::{self, capital},
    kit::theme::{self, Palette},
    session::Session,
    session::command::Command,
    stages::eyes_ui::draw_eyes,
};

/// Kappa is told from so many recordings on (assumed).
const ENOUGH: usize = 5;

/// Shows the part.
pub(super) fn reading_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let lesson = &session.lesson;
    let reading = &lesson.reading;
    ui.label(RichText::new("Reading eyes").font(theme::heading()));
    if let Some(recording) = &reading.recording {
        let since_s = ui
            .input(|i| i.time)
            .rem_euclid(recording.length_s().max(1.0));
        if let Some((part, time_s)) = recording.at(since_s) {
            controls::line(
                ui,
                place_words(recording, part),
                theme::body(),
                palette.text,
            );
            eyes_ui(ui, session, recording, time_s, &palette);
        }
        match reading.answered {
            None => {
                for word in EyeWord::ALL {
                    if ui.button(word.name()).clicked() {
                        push(commands, LessonCommand::Read(word));
                    }
                }
            }
            Some(word) => {
                let right = if word == recording.word {
                    "Right".to_owned()
                } else {
                    format!("You said {}, it is {}", word.name(), recording.word.name())
                };
                let found: Vec<String> = recording.parts.iter().map(told).collect();
                let found = found.join(" ");
                controls::line(ui, format!("{right}. {found}"), theme::body(), palette.text);
            }
        }
    } else {
        let words = "Half a minute of eyes from a run, or of a roll test one with each ear down, again and again, without a \
             label. Say what they do.";
        controls::line(ui, words, theme::body(), palette.text);
    }
    ui.add_space(8.0);
    ui.add_enabled_ui(!lesson.desk.is_busy(), |ui| {
        if ui.button("Next recording").clicked() {
            push(commands, LessonCommand::NextReading);
        }
    });
    let n = reading.pairs.len();
    let right = reading.pairs.iter().filter(|(a, b)| a == b).count();
    let kappa = cohen_kappa(&reading.pairs).filter(|_| n >= ENOUGH);
    let agreement = kappa.map_or_else(
        || format!("kappa is told from {ENOUGH} recordings on"),
        |kappa| format!("kappa {kappa:.2} against the model"),
    );
    let words = format!("{right} of {n} right; {agreement}.");
    controls::line(ui, words, theme::body(), palette.weak);
}

/// Where the head is; of two positions also which one it is.
fn place_words(recording: &Recording, part: &RecordedPart) -> String {
    let of = recording.parts.len();
    if of < 2 {
        return format!("{}, the chair stands.", part.position);
    }
    let first = recording.parts.first();
    let which = if first.is_some_and(|first| first.position == part.position) {
        1
    } else {
        2
    };
    format!(
        "Roll test, position {which} of {of}: {}, the chair stands.",
        part.position
    )
}

/// A finding with its position.
fn told(part: &RecordedPart) -> String {
    format!("{}: {}", capital(part.position), sentence(&part.finding))
}

/// The eyes, in real time and over again.
fn eyes_ui(ui: &mut Ui, session: &Session, recording: &Recording, time_s: f64, palette: &Palette) {
    let size = vec2(ui.available_width(), 112.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::Image, true, "Both eyes, a recording")
    });
    let eyes = &recording.eyes;
    let at = eyes.time_s.partition_point(|&t| t < time_s);
    let turn = eyes
        .position_rad
        .get(at)
        .copied()
        .unwrap_or_else(Vec3::zeros);
    let who = session.preferences.eyes_seen_by;
    draw_eyes(ui.painter(), rect, who, turn, palette);
    if session.lesson.reading.answered.is_none() {
        ui.ctx()
            .request_repaint_after(std::time::Duration::from_millis(33));
    }
}
