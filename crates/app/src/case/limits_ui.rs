//! What the patient allows, to edit, with what the chair's motion breaks.

use egui::Ui;
use lithodrome_rehearsal::{Limit, LimitBreach, Limits, Whose};

use crate::{
    kit::controls,
    kit::fields::{self, Number},
    kit::theme::{self, Palette},
    session::Session,
    session::command::{Command, EditCommand},
    session::draft::Fault,
    session::edit::{Edit, SettingEdit},
};

/// A limit: which, its name, its unit, change per point, what it means.
type Row = (Limit, &'static str, &'static str, f64, &'static str);

const ROWS: [Row; 5] = [
    (
        Limit::HeadDown,
        "Head below the horizontal",
        "°",
        0.5,
        "How far the head may hang below the horizontal. Head-hang is usually 30°; a stiff or frail \
         patient may bear less.",
    ),
    (
        Limit::Inverted,
        "Time below the horizontal",
        " s",
        0.5,
        "How long the head may stay below the horizontal in one go. Pressure in the eyes rises there.",
    ),
    (
        Limit::Speed,
        "Turning speed",
        "°/s",
        1.0,
        "The highest speed of turning the patient, at its peak; a move is fastest in its middle.",
    ),
    (
        Limit::Acceleration,
        "Turning acceleration",
        "°/s²",
        2.0,
        "The hardest start and stop of a move",
    ),
    (
        Limit::Yaw,
        "Yaw to either side",
        "°",
        1.0,
        "How far the seat may be turned from its start angle of 0°, if its cables or an arm rest end the turn",
    ),
];

/// Throws are allowed or not; there is no number.
const THROW: &str = "No throws";
const THROW_TIP: &str = "A throw is a fast swing that ends abruptly, as in Semont's manoeuvre";

/// Shows the limits of patient or chair; broken ones are named with step, angle and time.
pub fn limits_ui(
    ui: &mut Ui,
    session: &Session,
    whose: Whose,
    fault: Option<&Fault>,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    let Some(draft) = &session.draft else { return };
    let (limits, owner) = match whose {
        Whose::Patient => (draft.scenario().limits, "patient"),
        Whose::Chair => (draft.scenario().chair_limits, "chair"),
    };
    let limits = limits.unwrap_or_default();
    let breaches: Option<Vec<&LimitBreach>> = match &session.shown {
        Some(loaded) if !session.is_stale() => Some(
            loaded
                .breaches
                .iter()
                .filter(|b| b.whose == whose)
                .collect(),
        ),
        _ => None,
    };
    let broken = |ui: &mut Ui, limit: Limit| {
        for breach in breaches.iter().flatten().filter(|b| b.limit == limit) {
            fields::warning(ui, &breach.sentence());
        }
    };
    for (limit, name, unit, per_point, tip) in ROWS {
        let field = field_of(whose, limit);
        fields::row(ui, name, tip, |ui| {
            let called = format!("Limit of the {owner}: {}", name.to_lowercase());
            let value = value_of(&limits, limit);
            let number = Number {
                empty: Some("no limit"),
                width: 88.0,
                per_point,
                weak: value.is_none(),
                wrong: fault.is_some_and(|f| f.is_at(&field)),
                ..Number::new(&called, tip, value.unwrap_or(f64::INFINITY), unit)
            };
            fields::number(ui, number, commands, |v| {
                Edit::Setting(SettingEdit::Limits(
                    whose,
                    with(limits, limit, v.is_finite().then_some(v)),
                ))
            });
        });
        fields::fault_ui(ui, fault, &[field]);
        broken(ui, limit);
    }
    fields::row(ui, THROW, THROW_TIP, |ui| {
        let mut no_throw = limits.no_throw;
        let box_ = ui.checkbox(&mut no_throw, "");
        fields::name(&box_, &format!("Limit of the {owner}: no throws"));
        if box_.on_hover_text(THROW_TIP).changed() {
            let limits = Limits { no_throw, ..limits };
            commands.push(Command::Edit(EditCommand::Change(Edit::Setting(
                SettingEdit::Limits(whose, limits),
            ))));
        }
    });
    broken(ui, Limit::Throw);
    ui.add_space(4.0);
    if limits == Limits::default() {
        let words =
            "Nothing is limited yet. Type a number to be warned where a step goes beyond it.";
        controls::line(ui, words, theme::small(), palette.weak);
    } else if breaches.is_some_and(|b| b.is_empty()) {
        let words = "All steps stay within these limits.";
        controls::line(ui, words, theme::small(), palette.weak);
    }
}

/// Path of the limit in a scenario, as errors name it.
fn field_of(whose: Whose, limit: Limit) -> String {
    let place = match whose {
        Whose::Patient => "limits",
        Whose::Chair => "chair_limits",
    };
    format!("{place}.{}", limit.field())
}

fn value_of(limits: &Limits, limit: Limit) -> Option<f64> {
    match limit {
        Limit::HeadDown => limits.head_down_deg,
        Limit::Inverted => limits.inverted_s,
        Limit::Speed => limits.speed_deg_s,
        Limit::Acceleration => limits.acceleration_deg_s2,
        Limit::Yaw => limits.yaw_deg,
        Limit::Throw => None,
    }
}

fn with(mut limits: Limits, limit: Limit, value: Option<f64>) -> Limits {
    match limit {
        Limit::HeadDown => limits.head_down_deg = value,
        Limit::Inverted => limits.inverted_s = value,
        Limit::Speed => limits.speed_deg_s = value,
        Limit::Acceleration => limits.acceleration_deg_s2 = value,
        Limit::Yaw => limits.yaw_deg = value,
        Limit::Throw => {}
    }
    limits
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_limit_has_its_row_and_is_written_where_it_is_read() {
        for (i, (limit, ..)) in ROWS.into_iter().enumerate() {
            let value = Some(i as f64 + 1.0);
            let limits = with(Limits::default(), limit, value);
            assert_eq!(value_of(&limits, limit), value);
            let set = ROWS
                .iter()
                .filter(|(l, ..)| value_of(&limits, *l).is_some());
            assert_eq!(set.count(), 1);
        }
    }
}
