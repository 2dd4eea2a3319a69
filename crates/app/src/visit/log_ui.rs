//! The form of what was done and seen, and the figures of the log.

use egui::{ComboBox, TextEdit, Ui};
use lithodrome_labyrinth::{Canal, CanalId};
use lithodrome_visits::TreatmentEnd;

use super::{LogForm, VisitState, command::VisitCommand, patient_ui::amount};
use crate::{kit::fields, session::command::Command};

/// Shows the form and the figures.
pub(super) fn log_ui(ui: &mut Ui, visit: &VisitState, commands: &mut Vec<Command>) {
    let mut form = visit.log_form.clone();
    let codes: Vec<&str> = visit
        .planned
        .iter()
        .map(|p| p.patient.code.as_str())
        .collect();
    line(
        ui,
        "Date",
        "Year-month-day",
        "Date of the visit",
        &mut form.date,
    );
    line(
        ui,
        "Home",
        "The home's neutral code",
        "Home's code",
        &mut form.home,
    );
    fields::row(ui, "Patient", "Who was seen", |ui| {
        let shown = ComboBox::from_id_salt("logged patient")
            .width(104.0)
            .selected_text(codes.get(form.patient).copied().unwrap_or("none"))
            .show_ui(ui, |ui| {
                for (i, code) in codes.iter().enumerate() {
                    ui.selectable_value(&mut form.patient, i, *code);
                }
            });
        fields::name(&shown.response, "Logged patient");
    });
    line(
        ui,
        "Test",
        "Which test",
        "Test that was done",
        &mut form.test,
    );
    line(
        ui,
        "Seen",
        "What the eyes did",
        "What was seen",
        &mut form.seen,
    );
    found_ui(ui, &mut form);
    line(
        ui,
        "Manoeuvre",
        "Left empty if none was done",
        "Manoeuvre that was done",
        &mut form.manoeuvre,
    );
    end_ui(ui, &mut form);
    amount(ui, "Minutes", " min", 0.0..=600.0, &mut form.minutes);
    if form != visit.log_form {
        commands.push(Command::Visit(VisitCommand::WriteLog(form)));
    }
    if ui.button("Write into the log").clicked() {
        commands.push(Command::Visit(VisitCommand::Log));
    }
    if ui.button("Read the figures").clicked() {
        commands.push(Command::Visit(VisitCommand::ReadFigures));
    }
    if let Some(figures) = &visit.figures {
        ui.label(figures);
    }
}

fn line(ui: &mut Ui, label: &str, tip: &str, called: &str, text: &mut String) {
    fields::row(ui, label, tip, |ui| {
        let response = ui.add(
            TextEdit::singleline(text)
                .desired_width(104.0)
                .char_limit(400),
        );
        fields::name(&response, called);
    });
}

fn found_ui(ui: &mut Ui, form: &mut LogForm) {
    let words = form.found.map_or_else(
        || "no debris".to_owned(),
        |(ear, canal)| CanalId { ear, canal }.name(),
    );
    fields::row(ui, "Found", "Where debris was found", |ui| {
        let shown = ComboBox::from_id_salt("found canal")
            .width(104.0)
            .selected_text(words)
            .show_ui(ui, |ui| {
                ui.selectable_value(&mut form.found, None, "no debris");
                for id in CanalId::ALL {
                    ui.selectable_value(&mut form.found, Some((id.ear, id.canal)), id.name());
                }
            });
        fields::name(&shown.response, "Found canal");
    });
}

fn end_ui(ui: &mut Ui, form: &mut LogForm) {
    let ends = [
        TreatmentEnd::Cleared,
        TreatmentEnd::NotCleared,
        TreatmentEnd::Switched {
            to: Canal::Anterior,
        },
        TreatmentEnd::Switched { to: Canal::Lateral },
        TreatmentEnd::Switched {
            to: Canal::Posterior,
        },
        TreatmentEnd::Stopped,
    ];
    let words = |end: TreatmentEnd| {
        end.switched_to().map_or_else(
            || end.name().to_owned(),
            |to| format!("switched to {}", to.name()),
        )
    };
    fields::row(ui, "Outcome", "What the control test told", |ui| {
        let shown = ComboBox::from_id_salt("outcome")
            .width(104.0)
            .selected_text(words(form.end))
            .show_ui(ui, |ui| {
                for end in ends {
                    ui.selectable_value(&mut form.end, end, words(end));
                }
            });
        fields::name(&shown.response, "Outcome of the manoeuvre");
    });
}
