//! The form of what was done and seen, the log's files, and its figures.

use egui::{TextEdit, Ui};
use lithodrome_labyrinth::{Canal, CanalId};
use lithodrome_visits::{Table, TreatmentEnd};

use super::{
    VisitState,
    command::VisitCommand,
    figures_ui,
    list::put,
    patient_ui::{amount, canal_ui, list_row, nth},
    state::{LogForm, TreatmentForm},
};
use crate::{kit::fields, session::command::Command};

/// Shows the form of one patient.
pub(super) fn log_ui(ui: &mut Ui, visit: &VisitState, commands: &mut Vec<Command>) {
    let mut form = visit.log_form.clone();
    let codes: Vec<&str> = visit
        .planned
        .iter()
        .map(|p| p.patient.code.as_str())
        .collect();
    let patient = codes.get(form.patient).copied().unwrap_or("none");
    list_row(
        ui,
        "Patient",
        "Who was seen",
        "Logged patient",
        patient,
        |ui| {
            for (i, code) in codes.iter().enumerate() {
                ui.selectable_value(&mut form.patient, i, *code);
            }
        },
    );
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
    treatments_ui(ui, &mut form);
    amount(ui, "Minutes", " min", 0.0..=600.0, &mut form.minutes);
    if form != visit.log_form {
        commands.push(Command::Visit(VisitCommand::WriteLog(form)));
    }
    if ui.button("Write into the log").clicked() {
        commands.push(Command::Visit(VisitCommand::Log));
    }
    // What was told of it stands at the top of the column too, which may be screens away.
    if let Some(fault) = &visit.log_fault {
        fields::warning(ui, &format!("Not written. {fault}"));
    }
}

/// Shows what can be had of the log, and its figures.
pub(super) fn files_ui(ui: &mut Ui, visit: &VisitState, commands: &mut Vec<Command>) {
    if visit.is_read_only() {
        fields::warning(
            ui,
            "Another window holds the log: here it can be read, not written.",
        );
    }
    ui.horizontal_wrapped(|ui| {
        for (label, tip, command) in [
            (
                "Read the figures",
                "Prevalence by home, success, switches",
                VisitCommand::ReadFigures,
            ),
            (
                "Export as CSV",
                "One row a visit (RFC 4180)",
                VisitCommand::Export(Table::Csv),
            ),
            (
                "Export for a spreadsheet",
                "The same, marked as UTF-8, and no cell begins a formula",
                VisitCommand::Export(Table::Spreadsheet),
            ),
            (
                "Save the plot",
                "The share by home as a drawing (SVG)",
                VisitCommand::SavePlot,
            ),
            (
                "Back up the log",
                "A copy of the whole log in a file of its own",
                VisitCommand::BackUp,
            ),
        ] {
            if ui.button(label).on_hover_text(tip).clicked() {
                commands.push(Command::Visit(command));
            }
        }
    });
    if let Some(figures) = &visit.figures {
        figures_ui::figures_ui(ui, figures);
    }
}

/// One line of text.
pub(super) fn line(ui: &mut Ui, label: &str, tip: &str, called: &str, text: &mut String) {
    fields::row(ui, label, tip, |ui| {
        let response = ui.add(
            TextEdit::singleline(text)
                .desired_width(104.0)
                .char_limit(400),
        );
        fields::name(&response, called);
    });
}

/// One row for each canal that was found, and one for another.
fn found_ui(ui: &mut Ui, form: &mut LogForm) {
    for i in 0..=form.found.len().min(CanalId::ALL.len() - 1) {
        let now = form
            .found
            .get(i)
            .map(|&(ear, canal)| CanalId { ear, canal });
        let label = if i == 0 { "Found" } else { "and" };
        let called = nth(i, "found canal");
        let chosen = canal_ui(
            ui,
            label,
            "Where debris was found",
            &called,
            "no debris",
            now,
        );
        if let Some(chosen) = chosen {
            put(&mut form.found, i, chosen.map(|id| (id.ear, id.canal)));
        }
    }
}

fn treatments_ui(ui: &mut Ui, form: &mut LogForm) {
    for (i, treatment) in form.treatments.iter_mut().enumerate() {
        let called = match i {
            0 => "Manoeuvre that was done".to_owned(),
            i => format!("Manoeuvre {} that was done", i + 1),
        };
        let tip = "Left empty if none was done; it counts for the canal of the same place in the list above";
        line(ui, "Manoeuvre", tip, &called, &mut treatment.manoeuvre);
        end_ui(ui, i, treatment);
    }
    if ui.button("Another manoeuvre").clicked() {
        form.treatments.push(TreatmentForm::default());
    }
}

fn end_ui(ui: &mut Ui, i: usize, treatment: &mut TreatmentForm) {
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
    let called = match i {
        0 => "Outcome of the manoeuvre".to_owned(),
        i => format!("Outcome of manoeuvre {}", i + 1),
    };
    let tip = "What the control test told";
    let shown = treatment
        .end
        .map_or_else(|| "not chosen yet".to_owned(), words);
    list_row(ui, "Outcome", tip, &called, &shown, |ui| {
        for end in ends {
            ui.selectable_value(&mut treatment.end, Some(end), words(end));
        }
    });
}
