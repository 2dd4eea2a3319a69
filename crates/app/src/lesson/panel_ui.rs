//! The column at the side for a hidden case.

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
    ui.label(RichText::new("Hidden cases").font(theme::heading()));
    ui.label("Test a hidden case with the chair, name ear, canal and mechanism, treat it, and see why it worked or not.");
    ui.add_space(8.0);
    ui.label(RichText::new("There is no lesson open yet.").color(palette.weak));
}
