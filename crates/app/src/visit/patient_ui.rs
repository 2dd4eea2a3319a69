//! The form of a patient: code, size, what is suspected, neck and back, cautions.

use egui::{ComboBox, DragValue, TextEdit, Ui};
use lithodrome_labyrinth::CanalId;
use lithodrome_visits::{Caution, Suspected};

use super::{PatientForm, VisitState, command::VisitCommand};
use crate::{
    kit::{controls, fields, theme::Palette},
    session::command::Command,
};

/// Shows the form; asks for every change and for the plan.
pub(super) fn form_ui(ui: &mut Ui, visit: &VisitState, commands: &mut Vec<Command>) {
    let mut form = visit.form.clone();
    fields::row(
        ui,
        "Code",
        "A neutral code such as KV-07, never a name or a birth date",
        |ui| {
            let edit = TextEdit::singleline(&mut form.code)
                .desired_width(96.0)
                .char_limit(40);
            let response = ui.add(edit);
            fields::name(&response, "Patient's code");
        },
    );
    amount(ui, "Weight", " kg", 20.0..=250.0, &mut form.weight_kg);
    amount(ui, "Height", " cm", 100.0..=220.0, &mut form.height_cm);
    suspected_ui(ui, &mut form);
    amount(
        ui,
        "Neck turns to each side",
        "°",
        0.0..=90.0,
        &mut form.neck.rotation_deg,
    );
    amount(
        ui,
        "Neck bends back",
        "°",
        0.0..=90.0,
        &mut form.neck.extension_deg,
    );
    amount(
        ui,
        "Back lies back",
        "°",
        0.0..=120.0,
        &mut form.back_recline_deg,
    );
    for caution in Caution::ALL {
        let mut ticked = form.cautions.contains(&caution);
        let response = ui.checkbox(&mut ticked, caution.name());
        if response.on_hover_text(caution.reason()).changed() {
            form.cautions.retain(|c| *c != caution);
            if ticked {
                form.cautions.push(caution);
            }
        }
    }
    if form != visit.form {
        commands.push(Command::Visit(VisitCommand::Write(form)));
    }
    if let Some(fault) = &visit.form_fault {
        let palette = Palette::of(ui);
        ui.horizontal_wrapped(|ui| {
            controls::warning_sign(ui, &palette);
            ui.label(fault);
        });
    }
    if ui.button("Plan for this patient").clicked() {
        commands.push(Command::Visit(VisitCommand::Plan));
    }
}

/// A number with its unit.
pub(super) fn amount(
    ui: &mut Ui,
    label: &str,
    unit: &str,
    range: std::ops::RangeInclusive<f64>,
    value: &mut f64,
) {
    fields::row(ui, label, label, |ui| {
        let response = ui.add(
            DragValue::new(value)
                .suffix(unit)
                .range(range)
                .max_decimals(0),
        );
        fields::name(&response, label);
    });
}

fn suspected_ui(ui: &mut Ui, form: &mut PatientForm) {
    let words = form
        .suspected
        .map_or_else(|| "unknown".to_owned(), |s| s.id().name());
    fields::row(
        ui,
        "Suspected",
        "The canal that is thought to hold debris",
        |ui| {
            let shown = ComboBox::from_id_salt("suspected canal")
                .width(104.0)
                .selected_text(words)
                // All canals at once.
                .height(400.0)
                .show_ui(ui, |ui| {
                    ui.selectable_value(&mut form.suspected, None, "unknown");
                    for id in CanalId::ALL {
                        let suspected = Suspected {
                            ear: id.ear,
                            canal: id.canal,
                            mechanism: None,
                        };
                        ui.selectable_value(&mut form.suspected, Some(suspected), id.name());
                    }
                });
            fields::name(&shown.response, "Suspected canal");
        },
    );
}
