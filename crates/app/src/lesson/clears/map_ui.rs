//! The whole map in the window: each cell says why it is so, in one sentence from a run.

use egui::{Role, ScrollArea, Sense, Stroke, StrokeKind, Ui, WidgetInfo};

use super::{
    command::ClearsCommand,
    map_picture::{self, case_of, cell_name},
    state::{ClearsState, MapPlace},
    whole::{CellShare, MapRow},
};
use crate::{
    export::{Export, Pictured},
    kit::controls,
    kit::theme::{self, Palette},
    lesson::ask::clears as push,
    session::command::{Command, ExportCommand},
};

/// Shows it.
pub(super) fn map_ui(ui: &mut Ui, clears: &ClearsState, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let title = map_picture::title(clears);
    controls::line(ui, title, theme::body_strong(), palette.text);
    ui.horizontal_wrapped(|ui| {
        let sides = [
            (
                false,
                "this ear's",
                "Manoeuvres that are meant for the ear with debris",
            ),
            (true, "the other ear's", "Done to the wrong side"),
        ];
        if let Some(other) = controls::choice(ui, "Manoeuvres", clears.other_side, &sides) {
            push(commands, ClearsCommand::OtherSide(other));
        }
        let exports = [
            ("Save as drawing…", Export::MapDrawing),
            ("Save as picture…", Export::Picture(Pictured::Map)),
        ];
        for (label, export) in exports {
            if ui.button(label).clicked() {
                commands.push(Command::Export(ExportCommand::Pick(export)));
            }
        }
    });
    why_ui(ui, clears, &palette);
    let empty = clears
        .rows
        .iter()
        .all(|row| row.cells.iter().flatten().all(Option::is_none));
    if empty && !clears.rows.is_empty() {
        let words = "This map has no ears for these manoeuvres: it was computed for those of the ear with debris.";
        controls::line(ui, words, theme::body(), palette.text);
    }
    let width = ui.available_width();
    ScrollArea::both()
        .auto_shrink([false, false])
        .show(ui, |ui| {
            let laid = map_picture::laid(clears, width - 16.0);
            let (rect, _) = ui.allocate_exact_size(laid.size(), Sense::hover());
            map_picture::paint(ui.painter(), rect.min, laid, &palette);
            for (i, row) in clears.rows.iter().enumerate() {
                let id = ui.scope_id().with(("name in the map", &row.name));
                let name = ui.interact(laid.name_of(rect.min, i), id, Sense::hover());
                name.on_hover_text(&row.short);
                for column in 0..15 {
                    if let Some(share) = row.cells[column / 5][column % 5] {
                        let place = laid.place_of(rect.min, i, column);
                        cell_ui(ui, clears, (row, column, share), place, commands);
                    }
                }
            }
            // The map may be wider than what is seen of it, its words are not.
            ui.set_max_width(width - 16.0);
            for line in map_picture::legend() {
                controls::line(ui, line, theme::small(), palette.weak);
            }
        });
}

/// Two lines, so that nothing below jumps when a sentence comes.
fn why_ui(ui: &mut Ui, clears: &ClearsState, palette: &Palette) {
    let height = 2.0 * ui.text_style_height(&egui::TextStyle::Body);
    ui.allocate_ui(egui::vec2(ui.available_width(), height), |ui| {
        ui.set_min_height(height);
        let words = match &clears.why {
            None => "Choose a cell to see why it is so: one sentence from a run.".to_owned(),
            Some(place) => {
                let name = cell_name(clears, place);
                match (clears.whys.get(place), &clears.words) {
                    (Some(why), _) => format!("{name}. {why}"),
                    (None, Some(words)) => format!("{name}: {words}"),
                    (None, None) => format!("{name}: computing a run…"),
                }
            }
        };
        controls::line(ui, words, theme::body(), palette.text);
    });
}

fn cell_ui(
    ui: &mut Ui,
    clears: &ClearsState,
    (row, column, share): (&MapRow, usize, CellShare),
    rect: egui::Rect,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    let (canal, place) = case_of(column);
    let here = MapPlace {
        name: row.name.clone(),
        ear: clears.asked.canal.ear,
        size: clears.asked.size,
        canal,
        place,
    };
    let id = ui.scope_id().with(("cell of the map", &row.name, column));
    let response = ui.interact(rect, id, Sense::click());
    let words = format!(
        "{}: out in {:.0} in 100 ears, switched in {:.0}",
        cell_name(clears, &here),
        100.0 * share.out,
        100.0 * share.switched
    );
    let chosen = clears.why.as_ref() == Some(&here);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, &words));
    if chosen || response.hovered() || response.has_focus() {
        let line = Stroke::new(1.5, palette.text);
        ui.painter()
            .rect_stroke(rect, 3.0, line, StrokeKind::Inside);
    }
    let why = clears.whys.get(&here);
    let tip = why.map_or_else(
        || format!("{words}.\nWhy? Click for a sentence from a run."),
        |why| format!("{words}.\n{why}"),
    );
    if response.on_hover_text(tip).clicked() {
        push(commands, ClearsCommand::Why(here));
    }
}
