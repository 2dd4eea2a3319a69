//! How far this patient's neck goes, to edit; it matters where no chair carries the head.

use egui::Ui;
use lithodrome_rehearsal::{Carrier, NeckLimits, Scenario};

use crate::{
    kit::controls,
    kit::fields::{self, Number},
    kit::theme::{self, Palette},
    session::command::Command,
    session::draft::Fault,
    session::edit::{Edit, SettingEdit},
};

/// A way of the neck: label, its field, what it means, its angle, how to set it.
type Row = (
    &'static str,
    &'static str,
    &'static str,
    fn(&NeckLimits) -> f64,
    fn(&mut NeckLimits, f64),
);

const ROWS: [Row; 4] = [
    (
        "Turn to either side",
        "rotation_deg",
        "Rotation: how far the head turns on the trunk to either side. About 80° in a healthy adult, less in \
         a stiff neck; a step that wants more is turned by the trunk or falls short.",
        |n| n.rotation_deg,
        |n, v| n.rotation_deg = v,
    ),
    (
        "Bend back",
        "extension_deg",
        "Extension: how far the head hangs back from looking ahead. About 60° in a healthy adult; head-hang \
         needs 20° to 30° of it.",
        |n| n.extension_deg,
        |n, v| n.extension_deg = v,
    ),
    (
        "Chin to the chest",
        "flexion_deg",
        "Flexion: how far the head bows forward. About 50° in a healthy adult.",
        |n| n.flexion_deg,
        |n, v| n.flexion_deg = v,
    ),
    (
        "Ear to the shoulder",
        "lateral_deg",
        "Lateral flexion: how far the head leans to either side. About 45° in a healthy adult.",
        |n| n.lateral_deg,
        |n, v| n.lateral_deg = v,
    ),
];

/// Shows the neck's limits, or why they do not matter.
pub fn neck_ui(
    ui: &mut Ui,
    scenario: &Scenario,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
) {
    let Some(Carrier::Bedside { neck }) = scenario.body else {
        let words = "The chair carries head and trunk as one: this neck is not bent. At the bedside it is; \
            open a bedside manoeuvre from the library.";
        controls::line(ui, words, theme::small(), Palette::of(ui).weak);
        return;
    };
    for (label, field, tip, of, set) in ROWS {
        let field = format!("body.neck.{field}");
        let name = format!("Limit of the neck: {}", label.to_lowercase());
        let number = Number {
            width: 88.0,
            wrong: fault.is_some_and(|f| f.is_at(&field)),
            ..Number::new(&name, tip, of(&neck), "°")
        };
        fields::row(ui, label, tip, |ui| {
            fields::number(ui, number, commands, |v| {
                let mut next = neck;
                set(&mut next, v);
                Edit::Setting(SettingEdit::Neck(next))
            });
        });
        fields::fault_ui(ui, fault, &[field]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_way_of_the_neck_is_written_where_it_is_read() {
        for (k, (_, _, _, of, set)) in ROWS.into_iter().enumerate() {
            let mut neck = NeckLimits::default();
            set(&mut neck, 10.0 + k as f64);
            assert!((of(&neck) - 10.0 - k as f64).abs() < 1e-12);
            let changed = ROWS.iter().filter(|(_, _, _, of, _)| {
                of(&neck).to_bits() != of(&NeckLimits::default()).to_bits()
            });
            assert_eq!(changed.count(), 1, "only this one");
        }
    }
}
