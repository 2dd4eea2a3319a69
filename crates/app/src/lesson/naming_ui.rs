//! The answer sheet: which canals are ill, and how.

use egui::{ComboBox, RichText, Ui};
use lithodrome_labyrinth::CanalId;
use lithodrome_rehearsal::LesionKind;

use super::{
    ask::push,
    command::LessonCommand,
    state::{LessonState, OpenCase},
};
use crate::{
    kit::controls,
    kit::fields,
    kit::theme::{self, Palette},
    session::command::Command,
};

/// Shows the sheet, or what was named and what was true.
pub(super) fn naming_ui(
    ui: &mut Ui,
    lesson: &LessonState,
    open: &OpenCase,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    ui.add_space(4.0);
    controls::section(ui, "What is ill");
    if let Some(answer) = &open.record.answer {
        let truth = &open.patient.case.truth;
        let line =
            |ui: &mut Ui, text: String| controls::line(ui, text, theme::body(), palette.text);
        line(ui, format!("You named: {}.", answer.named.words()));
        line(ui, format!("It is: {}.", truth.words()));
        line(
            ui,
            "The ear is open now. Treat, wait, test again; then the debrief.".to_owned(),
        );
    } else {
        for (i, canal) in CanalId::ALL.into_iter().enumerate() {
            canal_ui(ui, lesson, i, canal, commands);
        }
        let named = lesson.diagnosis().words();
        ui.label(RichText::new(named).color(palette.weak));
        let tip = "That is the answer: the ear is opened";
        if ui.button("Name it").on_hover_text(tip).clicked() {
            push(commands, LessonCommand::Name);
        }
    }
    let tip = "The same run with the ear open: what told it, what was missed, how it can go";
    if ui.button("Debrief").on_hover_text(tip).clicked() {
        if open.record.answer.is_none() {
            push(commands, LessonCommand::Name);
        }
        push(commands, LessonCommand::Debrief);
    }
}

fn canal_ui(
    ui: &mut Ui,
    lesson: &LessonState,
    i: usize,
    canal: CanalId,
    commands: &mut Vec<Command>,
) {
    ui.horizontal(|ui| {
        controls::ear_mark(ui, canal.ear);
        let mut ill = lesson.sheet[i].is_some();
        if ui.checkbox(&mut ill, canal.name()).changed() {
            let kind = ill.then_some(LesionKind::AmpullaryArm);
            push(commands, LessonCommand::Mark(i, kind));
        }
    });
    if let Some(kind) = lesson.sheet[i] {
        ui.indent(("kind", i), |ui| {
            let list = ComboBox::from_id_salt(("kind of", i))
                .width(ui.available_width() - 16.0)
                .selected_text(kind.name())
                .show_ui(ui, |ui| {
                    for other in LesionKind::ALL {
                        if ui.selectable_label(other == kind, other.name()).clicked() {
                            push(commands, LessonCommand::Mark(i, Some(other)));
                        }
                    }
                });
            fields::name(&list.response, &format!("How the {} is ill", canal.name()));
        });
    }
}
