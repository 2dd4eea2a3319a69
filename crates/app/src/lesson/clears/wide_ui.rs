//! Where the stages and the score are otherwise: the ranking, two manoeuvres beside each other, or the whole
//! map.

use egui::{RichText, Ui};

use super::{
    beside_ui, map_ui, ranking_ui,
    state::{ClearsState, ClearsView},
};
use crate::{
    kit::controls,
    kit::theme::{self, Palette},
    lesson::state::LessonTab,
    session::Session,
    session::command::{Command, Use},
};

/// It takes the place of the stages and the score.
pub fn is_wide(session: &Session) -> bool {
    let clears = &session.lesson.clears;
    session.preferences.used_for == Use::Lesson
        && session.lesson.tab == LessonTab::Clears
        && clears.view != ClearsView::Run
        && clears
            .known
            .as_ref()
            .is_some_and(|known| !known.map.cells.is_empty())
}

/// Shows it.
pub fn wide_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let clears = &session.lesson.clears;
    match (clears.view, &clears.beside) {
        (ClearsView::Beside, Some(beside)) => beside_ui::beside_ui(ui, beside),
        (ClearsView::Beside, None) => nothing_ui(ui, clears),
        (ClearsView::Map, _) => map_ui::map_ui(ui, clears, commands),
        (ClearsView::Ranking | ClearsView::Run, _) => {
            if let Some(known) = &clears.known {
                ranking_ui::ranking_ui(ui, clears, known, commands);
            }
        }
    }
}

fn nothing_ui(ui: &mut Ui, clears: &ClearsState) {
    let palette = Palette::of(ui);
    ui.label(RichText::new("Two manoeuvres beside each other").font(theme::heading()));
    let words = if clears.desk.is_busy() {
        "Computing both runs in one ear…"
    } else {
        "Choose two by \"beside\" in the ranking, then set them beside each other."
    };
    controls::line(ui, words, theme::body(), palette.weak);
}
