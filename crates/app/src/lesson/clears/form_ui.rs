//! What is asked: ear, canal, place and size of the debris, and what this patient allows.

use egui::{ComboBox, DragValue, Ui};
use lithodrome_labyrinth::{Canal, CanalId, Ear};
use lithodrome_rehearsal::{Limits, Mechanism};
use lithodrome_study::{MapQuestion, SIZE_CLASSES_UM};

use super::command::ClearsCommand;
use crate::{
    kit::controls, kit::fields, lesson::ask::clears as push, session::Session,
    session::command::Command,
};

/// Shows the form.
pub(super) fn form_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let clears = &session.lesson.clears;
    let mut asked = clears.asked;
    case_ui(ui, &mut asked);
    let limits = &mut asked.limits;
    let limited = *limits != Limits::default();
    let title = if limited {
        "This patient's limits: set"
    } else {
        "This patient's limits: none"
    };
    let header = egui::CollapsingHeader::new(title).id_salt("limits of what clears");
    header.show(ui, |ui| {
        of_open_case_ui(ui, session, limits);
        limits_ui(ui, limits);
    });
    if asked != clears.asked {
        push(commands, ClearsCommand::Ask(asked));
    }
}

fn case_ui(ui: &mut Ui, asked: &mut MapQuestion) {
    ui.horizontal(|ui| {
        controls::ear_mark(ui, asked.canal.ear);
        let ears = [
            (Ear::Right, "right", "Debris in the right ear"),
            (Ear::Left, "left", "Debris in the left ear"),
        ];
        if let Some(ear) = controls::choice(ui, "Ear", asked.canal.ear, &ears) {
            asked.canal.ear = ear;
        }
        let canals = Canal::ALL.map(|canal| (canal, canal.name(), "The canal that holds debris"));
        if let Some(canal) = controls::choice(ui, "Canal", asked.canal.canal, &canals) {
            asked.canal = CanalId {
                canal,
                ..asked.canal
            };
        }
    });
    ui.horizontal(|ui| {
        ui.label("Place");
        let list = ComboBox::from_id_salt("place of what clears")
            .selected_text(asked.place.name())
            .show_ui(ui, |ui| {
                for place in Mechanism::ALL {
                    let on = place == asked.place;
                    if ui.selectable_label(on, place.name()).clicked() {
                        asked.place = place;
                    }
                }
            });
        fields::name(&list.response, "Place of the debris");
    });
    ui.horizontal(|ui| {
        ui.label("Size");
        let names = SIZE_CLASSES_UM.map(|(from, to)| format!("{from:.0} to {to:.0} µm"));
        let sizes: Vec<(usize, &str, &str)> = names
            .iter()
            .enumerate()
            .map(|(i, name)| (i, name.as_str(), "Diameter of a clump of debris"))
            .collect();
        if let Some(size) = controls::choice(ui, "Size", asked.size, &sizes) {
            asked.size = size;
        }
    });
}

/// A number that may be without limit.
struct Row {
    label: &'static str,
    unit: &'static str,
    /// What it begins with when it is set.
    first: f64,
    most: f64,
    of: fn(&mut Limits) -> &mut Option<f64>,
}

const ROWS: [Row; 3] = [
    Row {
        label: "Head below the horizontal",
        unit: "°",
        first: 20.0,
        most: 90.0,
        of: |limits| &mut limits.head_down_deg,
    },
    Row {
        label: "Time below it in one go",
        unit: " s",
        first: 30.0,
        most: 3600.0,
        of: |limits| &mut limits.inverted_s,
    },
    Row {
        label: "Turning speed",
        unit: "°/s",
        first: 60.0,
        most: 1000.0,
        of: |limits| &mut limits.speed_deg_s,
    },
];

/// The limits that the open scenario has for its patient need not be typed again.
fn of_open_case_ui(ui: &mut Ui, session: &Session, limits: &mut Limits) {
    let draft = session.draft.as_ref().map(|draft| draft.scenario().clone());
    let theirs = draft.and_then(|scenario| scenario.limits);
    let is_other = theirs.is_some_and(|theirs| theirs != *limits);
    let button = ui.add_enabled(is_other, egui::Button::new("As in the open scenario"));
    let why_not = match theirs {
        Some(_) => "They are as in the open scenario",
        None => "The open scenario has no limits of its patient",
    };
    let tip = "Take this patient's limits from the open scenario";
    let button = button.on_hover_text(tip).on_disabled_hover_text(why_not);
    if let (true, Some(theirs)) = (button.clicked(), theirs) {
        *limits = theirs;
    }
}

fn limits_ui(ui: &mut Ui, limits: &mut Limits) {
    for row in ROWS {
        ui.horizontal(|ui| {
            let value = (row.of)(limits);
            let mut on = value.is_some();
            let label = format!("{} at most", row.label);
            if ui.checkbox(&mut on, label).changed() {
                *value = on.then_some(row.first);
            }
            if let Some(value) = value {
                let number = DragValue::new(value).range(0.0..=row.most).suffix(row.unit);
                fields::name(&ui.add(number), &format!("{}, at most", row.label));
            }
        });
    }
    ui.checkbox(&mut limits.no_throw, "No throw");
}
