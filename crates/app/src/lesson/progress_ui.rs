//! What improves: a learner by code, shares over time, what to repeat.

use egui::{RichText, Sense, Stroke, Ui, pos2, vec2};
use lithodrome_rehearsal::{Learner, ResultKind, share_right_over_time};

use super::{
    acting::now_unix_s, ask::push, command::LessonCommand, kappa_ui, repeat_ui, state::LessonState,
};
use crate::{
    kit::controls,
    kit::fields,
    kit::theme::{self, Palette},
    session::command::Command,
};

/// A share is that of so many results in a row.
const WINDOW: usize = 10;

/// Shows the part.
pub(super) fn progress_ui(ui: &mut Ui, lesson: &LessonState, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    ui.label(RichText::new("Progress").font(theme::heading()));
    let Some(learner) = &lesson.learner else {
        let words = "Kept on this machine under a code of your choice, never a name. Nothing leaves the machine.";
        controls::line(ui, words, theme::body(), palette.text);
        ui.horizontal(|ui| {
            ui.label("Code");
            let mut code = lesson.code.clone();
            let response = ui.text_edit_singleline(&mut code);
            fields::name(&response, "Learner code");
            if response.changed() {
                push(commands, LessonCommand::Code(code));
            }
        });
        if ui.button("Keep progress").clicked() {
            push(commands, LessonCommand::Keep);
        }
        return;
    };
    ui.label(RichText::new(&learner.code).font(theme::body_strong()));
    for (kind, words) in [
        (ResultKind::Case, "Cases named right"),
        (ResultKind::Reading, "Recordings read right"),
    ] {
        curve_ui(ui, learner, kind, words, &palette);
    }
    kappa_ui::kappa_ui(ui, learner, WINDOW);
    ui.add_enabled_ui(!lesson.desk.is_busy(), |ui| {
        repeat_ui::repeat_ui(ui, learner, now_unix_s(), commands);
    });
    if lesson.folder.is_some() && ui.button("Write results as CSV").clicked() {
        push(commands, LessonCommand::WriteResults);
    }
}

fn curve_ui(ui: &mut Ui, learner: &Learner, kind: ResultKind, words: &str, palette: &Palette) {
    controls::section(ui, words);
    let rows = learner.results_of(kind);
    let right = rows.iter().filter(|row| row.is_right()).count();
    let text = format!("{right} of {}.", rows.len());
    controls::line(ui, text, theme::body(), palette.text);
    let shares = share_right_over_time(&rows, WINDOW);
    if shares.len() < 2 {
        let text = format!("The curve begins with {} results.", WINDOW + 1);
        controls::line(ui, text, theme::small(), palette.weak);
        return;
    }
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 64.0), Sense::hover());
    let points = shares.iter().enumerate().map(|(i, share)| {
        let x = rect.left() + rect.width() * i as f32 / (shares.len() - 1) as f32;
        pos2(x, rect.bottom() - rect.height() * *share as f32)
    });
    ui.painter()
        .hline(rect.x_range(), rect.bottom(), palette.hair());
    ui.painter()
        .hline(rect.x_range(), rect.top(), palette.hair());
    ui.painter()
        .line(points.collect(), Stroke::new(1.5, palette.text));
    response.on_hover_text(format!(
        "Share right among {WINDOW} in a row, from none to all"
    ));
}
