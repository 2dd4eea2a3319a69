//! The column at the side for a variant.

use egui::{RichText, ScrollArea, Ui};

use crate::{
    kit::theme::{self, Palette},
    session::Session,
    session::command::Command,
};

/// Shows the column.
pub fn panel_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let area = ScrollArea::vertical().auto_shrink([false, false]);
    area.show(ui, |ui| empty_ui(ui, session, commands));
}

/// Nothing is there yet.
fn empty_ui(ui: &mut Ui, _session: &Session, _commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    ui.label(RichText::new("A question about many ears").font(theme::heading()));
    ui.label("Ask what a change of the sequence does: in this ear, then in many, beside the standard one.");
    ui.add_space(8.0);
    ui.label(RichText::new("No question has been asked yet.").color(palette.weak));
}
