//! Reading eyes: a recording without a label, words to choose from, agreement beyond chance.

use egui::{RichText, Sense, Ui, vec2};
use lithodrome_labyrinth::Vec3;
use lithodrome_nystagmus::sentence;
use lithodrome_rehearsal::{EyeWord, Recording, cohen_kappa};

use super::{ask::push, command::LessonCommand};
use crate::{
    kit::controls,
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
        let words = format!("{}, the chair stands.", recording.position);
        controls::line(ui, words, theme::body(), palette.text);
        eyes_ui(ui, session, recording, &palette);
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
                let found = sentence(&recording.finding);
                controls::line(ui, format!("{right}. {found}"), theme::body(), palette.text);
            }
        }
    } else {
        let words =
            "Half a minute of eyes from a run, again and again, without a label. Say what they do.";
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

/// The eyes, in real time and over again.
fn eyes_ui(ui: &mut Ui, session: &Session, recording: &Recording, palette: &Palette) {
    let size = vec2(ui.available_width(), 112.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::Image, true, "Both eyes, a recording")
    });
    let length_s = recording.to_s - recording.from_s;
    let now_s = ui.input(|i| i.time).rem_euclid(length_s.max(1.0));
    let eyes = &recording.eyes;
    let at = eyes
        .time_s
        .partition_point(|&t| t < recording.from_s + now_s);
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
