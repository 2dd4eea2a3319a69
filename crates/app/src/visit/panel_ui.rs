//! The column at the side for a visit.

use egui::{RichText, ScrollArea, Ui};

use super::{log_ui, patient_ui, plan_ui, state::Told};
use crate::{
    kit::{
        controls,
        theme::{self, Palette},
    },
    session::{Session, command::Command},
};

/// Shows the column.
pub fn panel_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let area = ScrollArea::vertical().auto_shrink([false, false]);
    area.show(ui, |ui| {
        let visit = &session.visit;
        ui.label(RichText::new("The visit").font(theme::heading()));
        told_ui(ui, visit.told.as_ref());
        controls::section(ui, "Next patient");
        patient_ui::form_ui(ui, visit, commands);
        if visit.planned.is_empty() {
            ui.label(RichText::new("No patient is planned yet.").color(Palette::of(ui).weak));
            return;
        }
        for (i, planned) in visit.planned.iter().enumerate() {
            plan_ui::plan_ui(ui, i, planned, commands);
        }
        controls::section(ui, "Log");
        log_ui::log_ui(ui, visit, commands);
    });
}

fn told_ui(ui: &mut Ui, told: Option<&Told>) {
    let palette = Palette::of(ui);
    match told {
        Some(Told::Done(words)) => {
            ui.label(RichText::new(words).color(palette.weak));
        }
        Some(Told::Failed(words)) => {
            ui.horizontal_wrapped(|ui| {
                controls::warning_sign(ui, &palette);
                ui.label(words);
            });
        }
        None => {}
    }
}
