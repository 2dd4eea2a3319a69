//! The column at the side for a lesson.

use egui::{RichText, ScrollArea, Ui};

use super::{
    ask::push,
    case_ui,
    class::class_ui,
    clears,
    command::LessonCommand,
    progress_ui, reading_ui,
    state::{LessonState, LessonTab},
};
use crate::{
    kit::controls,
    kit::theme::{self, Palette},
    session::Session,
    session::command::Command,
};

/// Shows the column.
pub fn panel_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let tabs = [
        (
            LessonTab::Clears,
            "What clears it",
            "Which manoeuvre clears this ear, canal and place",
        ),
        (
            LessonTab::Case,
            "Hidden case",
            "Test, name and treat a case",
        ),
        (
            LessonTab::Reading,
            "Reading",
            "Eyes to read: short recordings without a label",
        ),
        (LessonTab::Progress, "Progress", "What improves"),
    ];
    let lesson = &session.lesson;
    if let Some(tab) = controls::choice(ui, "Lesson", lesson.tab, &tabs) {
        push(commands, LessonCommand::Show(tab));
    }
    ui.add_space(8.0);
    let area = ScrollArea::vertical().auto_shrink([false, false]);
    area.show(ui, |ui| {
        told_ui(ui, lesson);
        match lesson.tab {
            LessonTab::Clears => clears::panel_ui::panel_ui(ui, session, commands),
            LessonTab::Case => case_ui::case_ui(ui, session, commands),
            LessonTab::Reading => reading_ui::reading_ui(ui, session, commands),
            LessonTab::Progress => {
                progress_ui::progress_ui(ui, lesson, commands);
                class_ui::class_ui(ui, &lesson.class, commands);
            }
        }
    });
}

/// What is being computed, or went wrong.
fn told_ui(ui: &mut Ui, lesson: &LessonState) {
    let palette = Palette::of(ui);
    if lesson.desk.is_busy() {
        ui.horizontal(|ui| {
            ui.spinner();
            ui.label(RichText::new("Computing…").color(palette.weak));
        });
    } else if let Some(words) = &lesson.words {
        controls::line(ui, words.clone(), theme::body(), palette.text);
    }
}
