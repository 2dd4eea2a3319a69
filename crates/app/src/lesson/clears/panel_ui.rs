//! The column: the case and the patient, how to look at the answer, what the dots mean.

use egui::{RichText, Sense, TextEdit, Ui, vec2};

use super::{
    command::ClearsCommand,
    detail_ui, form_ui,
    state::{ClearsState, ClearsView, MapSource},
};
use crate::{
    kit::controls,
    kit::ear_dots,
    kit::fields,
    kit::theme::{self, Palette},
    lesson::ask::clears as push,
    session::Session,
    session::command::Command,
};

/// Shows the part.
pub fn panel_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let clears = &session.lesson.clears;
    ui.label(RichText::new("What clears it").font(theme::heading()));
    let Some(known) = &clears.known else {
        unread_ui(ui, clears, commands);
        return;
    };
    if known.map.cells.is_empty() {
        empty_ui(ui, clears, commands);
        return;
    }
    let looks = [
        (
            ClearsView::Ranking,
            "ranking",
            "Every manoeuvre for this case, the best first",
        ),
        (
            ClearsView::Run,
            "one run",
            "The stages show the run of a manoeuvre",
        ),
        (
            ClearsView::Beside,
            "two beside",
            "Two manoeuvres in one ear, on one time axis",
        ),
        (
            ClearsView::Map,
            "whole map",
            "Every manoeuvre in every canal and place",
        ),
    ];
    if let Some(view) = controls::choice(ui, "Show", clears.view, &looks) {
        push(commands, ClearsCommand::Look(view));
    }
    ui.add_space(4.0);
    form_ui::form_ui(ui, session, commands);
    ui.add_space(4.0);
    told_ui(ui, clears, &palette);
    if clears.view == ClearsView::Run {
        opened_ui(ui, clears, commands);
    }
    legend_ui(ui, clears, &palette);
}

/// Which run is on the stages, and ears that end otherwise.
fn opened_ui(ui: &mut Ui, clears: &ClearsState, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let opened = clears.opened.as_ref();
    let known = opened.and_then(|opened| Some((opened, clears.row(&opened.name)?)));
    if let Some((opened, row)) = known {
        controls::line(ui, &row.title, theme::body_strong(), palette.text);
        detail_ui::ears_ui(ui, opened, row, commands);
    } else {
        let words = "No run of this case is open: choose \"Open its run\" in the ranking.";
        controls::line(ui, words, theme::body(), palette.weak);
    }
}

fn legend_ui(ui: &mut Ui, clears: &ClearsState, palette: &Palette) {
    ui.add_space(8.0);
    controls::section(ui, "What the dots mean");
    for end in ear_dots::all_ends() {
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(14.0, 16.0), Sense::hover());
            let canal = clears.asked.canal.canal;
            ear_dots::paint(ui.painter(), rect.center(), 5.0, end, canal, palette);
            let words = format!("{}: {}", ear_dots::end_name(end), ear_dots::end_tip(end));
            controls::line(ui, words, theme::small(), palette.text);
        });
    }
    let words = "One dot an ear, or one for each hundredth. Ears differ, so do sizes and operators; one clump in \
                 each. Intervals are of 95 %.";
    controls::line(ui, words, theme::small(), palette.weak);
}

/// What is being computed, or went wrong.
fn told_ui(ui: &mut Ui, clears: &ClearsState, palette: &Palette) {
    if clears.desk.is_busy() {
        let share = clears.desk.share().unwrap_or_default();
        ui.horizontal(|ui| {
            ui.spinner();
            let words = if share > 0.0 {
                format!("Computing, {:.0} % of the ears done", 100.0 * share)
            } else {
                "Computing…".to_owned()
            };
            ui.label(RichText::new(words).color(palette.weak));
        });
    } else if let Some(words) = &clears.words {
        fields::warning(ui, words);
    }
}

fn unread_ui(ui: &mut Ui, clears: &ClearsState, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    if clears.desk.is_busy() {
        ui.horizontal(|ui| {
            ui.spinner();
            ui.label(RichText::new("Reading the map…").color(palette.weak));
        });
        return;
    }
    if let Some(words) = &clears.words {
        fields::warning(ui, words);
    }
    if ui.button("Read the shipped map").clicked() {
        push(commands, ClearsCommand::Read(MapSource::Shipped));
    }
    path_ui(ui, clears, commands);
}

/// A map without ears answers nothing.
fn empty_ui(ui: &mut Ui, clears: &ClearsState, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let words = "The map that is shipped with this version holds no ears yet, so there is no answer. Nothing is \
                 guessed in its place.";
    controls::line(ui, words, theme::body(), palette.text);
    ui.add_space(8.0);
    let words = "A map can be computed in a terminal, with as many ears as there is time for, and read here:";
    controls::line(ui, words, theme::body(), palette.text);
    let line = "lithodrome-cli outcome-map --ears 40 --out map.csv";
    ui.label(RichText::new(line).monospace().size(theme::SIZES[0]));
    if clears.desk.is_busy() {
        ui.spinner();
    } else if let Some(words) = &clears.words {
        fields::warning(ui, words);
    }
    path_ui(ui, clears, commands);
}

fn path_ui(ui: &mut Ui, clears: &ClearsState, commands: &mut Vec<Command>) {
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        let mut path = clears.path.clone();
        let wide = (ui.available_width() - 88.0).max(96.0);
        let edit = TextEdit::singleline(&mut path)
            .hint_text("map.csv")
            .desired_width(wide);
        let response = ui.add(edit);
        fields::name(&response, "Path of a map");
        if response.changed() {
            push(commands, ClearsCommand::Path(path));
        }
        let is_there = !clears.path.trim().is_empty();
        let button = ui.add_enabled(is_there, egui::Button::new("Read it"));
        if button.on_hover_text("Read this map").clicked() {
            let source = MapSource::File(clears.path.trim().into());
            push(commands, ClearsCommand::Read(source));
        }
    });
}
