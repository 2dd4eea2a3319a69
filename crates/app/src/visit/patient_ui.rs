//! The form of a patient: code, size, what is suspected, neck and back, cautions.

use egui::{Align2, ComboBox, DragValue, Sense, TextEdit, Ui, vec2};
use lithodrome_labyrinth::CanalId;
use lithodrome_rehearsal::Mechanism;
use lithodrome_visits::{Caution, Suspected};

use super::{PatientForm, VisitState, command::VisitCommand, list::put};
use crate::{
    kit::{
        controls, fields,
        theme::{self, Palette},
    },
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

/// One row for each suspected canal with its place, and one for another.
fn suspected_ui(ui: &mut Ui, form: &mut PatientForm) {
    for i in 0..=form.suspected.len().min(CanalId::ALL.len() - 1) {
        let now = form.suspected.get(i).copied();
        let label = if i == 0 { "Suspected" } else { "and" };
        let tip = "The canal that is thought to hold debris";
        let called = nth(i, "suspected canal");
        let none = if i == 0 { "unknown" } else { "none" };
        let chosen = canal_ui(ui, label, tip, &called, none, now.map(Suspected::id));
        if let Some(chosen) = chosen {
            let suspected = chosen.map(|id| Suspected {
                ear: id.ear,
                canal: id.canal,
                mechanism: None,
            });
            // A canal stands there once, whichever place in it was chosen.
            let known = |id| form.suspected.iter().any(|s| s.id() == id);
            if !chosen.is_some_and(known) {
                put(&mut form.suspected, i, suspected);
            }
        }
        if let Some(suspected) = form.suspected.get_mut(i) {
            place_ui(ui, suspected);
        }
    }
}

/// "Suspected canal", "Second suspected canal".
pub(super) fn nth(i: usize, what: &str) -> String {
    const NTH: [&str; 5] = ["Second", "Third", "Fourth", "Fifth", "Sixth"];
    if let Some(nth) = i.checked_sub(1).and_then(|i| NTH.get(i)) {
        return format!("{nth} {what}");
    }
    let (first, rest) = what.split_at(1);
    first.to_uppercase() + rest
}

/// Width of a list, points: the longest name of a canal fits.
const LIST: f32 = 184.0;

/// A line with a list at its end; longer words than fit are cut, so that the line stays within the column.
pub(super) fn list_row(
    ui: &mut Ui,
    label: &str,
    tip: &str,
    called: &str,
    words: &str,
    entries: impl FnOnce(&mut Ui),
) {
    let ink = Palette::of(ui).text;
    ui.horizontal(|ui| {
        let gap = ui.spacing().item_spacing.x;
        let size = vec2((ui.available_width() - LIST - gap).max(64.0), 26.0);
        let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
        response.on_hover_text(tip);
        let at = rect.left_center();
        ui.painter_at(rect)
            .text(at, Align2::LEFT_CENTER, label, theme::body(), ink);
        let shown = ComboBox::from_id_salt(called)
            .width(LIST)
            .truncate()
            .selected_text(words)
            // All entries at once.
            .height(400.0)
            .show_ui(ui, entries);
        fields::name(&shown.response, called);
    });
}

/// Chooses a canal or none; what was chosen in this picture.
#[expect(
    clippy::option_option,
    reason = "a canal, none of them, or nothing chosen"
)]
pub(super) fn canal_ui(
    ui: &mut Ui,
    label: &str,
    tip: &str,
    called: &str,
    none: &str,
    now: Option<CanalId>,
) -> Option<Option<CanalId>> {
    let mut chosen = None;
    let words = now.map_or_else(|| none.to_owned(), CanalId::name);
    list_row(ui, label, tip, called, &words, |ui| {
        if ui.selectable_label(now.is_none(), none).clicked() {
            chosen = Some(None);
        }
        for id in CanalId::ALL {
            if ui.selectable_label(now == Some(id), id.name()).clicked() {
                chosen = Some(Some(id));
            }
        }
    });
    chosen
}

/// Chooses where in a suspected canal debris is.
fn place_ui(ui: &mut Ui, suspected: &mut Suspected) {
    let called = format!("Place in the {}", suspected.id().name());
    let tip = "Unknown counts as the ampullary arm";
    let words = suspected.mechanism.map_or("unknown", Mechanism::name);
    list_row(ui, "Where in it", tip, &called, words, |ui| {
        ui.selectable_value(&mut suspected.mechanism, None, "unknown");
        for place in Mechanism::ALL {
            ui.selectable_value(&mut suspected.mechanism, Some(place), place.name());
        }
    });
}
