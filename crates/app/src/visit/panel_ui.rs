//! The column at the side for a visit.

use egui::{RichText, ScrollArea, Ui};

use super::{VisitState, command::VisitCommand, log_ui, patient_ui, plan_ui, state::Told};
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
        if !visit.taken_up {
            commands.push(Command::Visit(VisitCommand::TakeUp));
        }
        ui.label(RichText::new("The visit").font(theme::heading()));
        told_ui(ui, visit.told.as_ref());
        if let Some(words) = visit.under_way() {
            ui.horizontal(|ui| {
                ui.spinner();
                ui.label(words);
            });
        }
        day_ui(ui, visit, commands);
        controls::section(ui, "Next patient");
        patient_ui::form_ui(ui, visit, commands);
        if visit.planned.is_empty() {
            ui.label(RichText::new("No patient is planned yet.").color(Palette::of(ui).weak));
        }
        for (i, planned) in visit.planned.iter().enumerate() {
            plan_ui::plan_ui(ui, i, planned, commands);
        }
        controls::section(ui, "Log");
        if !visit.planned.is_empty() {
            log_ui::log_ui(ui, visit, commands);
        }
        log_ui::files_ui(ui, visit, commands);
    });
}

/// Day and home, and the day's length.
fn day_ui(ui: &mut Ui, visit: &VisitState, commands: &mut Vec<Command>) {
    let mut day = visit.day.clone();
    log_ui::line(
        ui,
        "Date",
        "Year-month-day",
        "Date of the visit",
        &mut day.date,
    );
    log_ui::line(
        ui,
        "Home",
        "The home's neutral code",
        "Home's code",
        &mut day.home,
    );
    if day != visit.day {
        commands.push(Command::Visit(VisitCommand::SetDay(day)));
    }
    let minutes: f64 = visit.planned.iter().map(|p| p.plan.chair_min).sum();
    if !visit.planned.is_empty() {
        let n = visit.planned.len();
        let who = if n == 1 {
            "1 patient"
        } else {
            &format!("{n} patients")
        };
        ui.label(format!("{who}, {minutes:.0} min in the chair"));
        if ui.button("Begin a new visit").clicked() {
            commands.push(Command::Visit(VisitCommand::Clear));
        }
    }
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
