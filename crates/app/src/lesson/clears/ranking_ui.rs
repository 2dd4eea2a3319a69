//! The manoeuvres for the question, the best first: dots, words, what each asks of the patient.

use egui::{RichText, ScrollArea, Ui};
use lithodrome_study::Ranked;

use super::{
    command::ClearsCommand,
    detail_ui, holds_ui,
    state::{ClearsState, Known, WhichEar},
};
use crate::{
    kit::controls,
    kit::ear_dots::{dots_ui, in_hundred, of_hundred},
    kit::fields,
    kit::theme::{self, Palette},
    lesson::ask::clears as push,
    score::axis::clock,
    session::command::Command,
};

/// From dot to dot, points.
const PITCH: f32 = 9.0;

/// Shows them.
pub(super) fn ranking_ui(
    ui: &mut Ui,
    clears: &ClearsState,
    known: &Known,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    let asked = &clears.asked;
    let title = format!(
        "{}, {}: the best first",
        asked.canal.name(),
        asked.place.name()
    );
    ui.label(RichText::new(title).font(theme::heading()));
    if clears.ranked.is_empty() {
        let words = "The map has no ears for this case.";
        controls::line(ui, words, theme::body(), palette.weak);
        return;
    }
    holds_ui::what_is_known_ui(ui, clears);
    beside_button(ui, clears, &palette, commands);
    ScrollArea::vertical()
        .auto_shrink([false, false])
        .show(ui, |ui| {
            for (i, row) in clears.ranked.iter().enumerate() {
                row_ui(ui, clears, i, row, commands);
            }
            let from = &known.map.provenance;
            let words = format!(
                "{} ears, seed {}, {}. A teaching model, not a medical device.",
                from.ears, from.seed, from.mixture
            );
            controls::line(ui, words, theme::small(), palette.weak);
        });
}

fn beside_button(
    ui: &mut Ui,
    clears: &ClearsState,
    palette: &Palette,
    commands: &mut Vec<Command>,
) {
    ui.horizontal(|ui| {
        let two = clears.marked.len() == 2;
        let button = ui.add_enabled(two, egui::Button::new("Set the two beside each other"));
        let tip = "Both in one ear, on one time axis; where they part is marked";
        if button
            .on_hover_text(tip)
            .on_disabled_hover_text(tip)
            .clicked()
        {
            push(commands, ClearsCommand::Beside);
        }
        if !two {
            let words = format!("{} of 2 chosen by \"beside\"", clears.marked.len());
            ui.label(
                RichText::new(words)
                    .font(theme::small())
                    .color(palette.weak),
            );
        }
    });
}

fn row_ui(ui: &mut Ui, clears: &ClearsState, i: usize, row: &Ranked, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    ui.separator();
    let allowed = row.breaks.is_empty();
    let ink = if allowed { palette.text } else { palette.weak };
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 16.0;
        dots_ui(ui, &row.ends, clears.asked.canal.canal, PITCH, &row.title);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing = egui::vec2(8.0, 3.0);
            let title = format!("{}. {}", i + 1, row.title);
            controls::line(ui, title, theme::body_strong(), ink);
            controls::line(ui, outcome_of(clears, row), theme::body(), ink);
            if let Some(words) = holds_ui::by_hold(clears, row) {
                controls::line(ui, words, theme::small(), ink);
            }
            controls::line(ui, strain_of(row), theme::small(), ink);
            for words in &row.breaks {
                let words = format!("⚠ Not for this patient, {words}");
                controls::line(ui, words, theme::small(), palette.text);
            }
            buttons_ui(ui, clears, row, commands);
            detail_ui::detail_ui(ui, clears, row, commands);
        });
    });
}

fn buttons_ui(ui: &mut Ui, clears: &ClearsState, row: &Ranked, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        let button = ui.button("Open its run");
        fields::name(&button, &format!("Open its run: {}", row.title));
        let tip = "On the stages, in an ear that ends as most do";
        if button.on_hover_text(tip).clicked() {
            push(commands, ClearsCommand::Open(row.name.clone(), WhichEar::Usual));
        }
        let button = ui.button("Bed, stiff neck");
        fields::name(&button, &format!("On a bed: {}", row.title));
        let tip = "The same ears on a bed, with a healthy and with a stiff neck, and where debris switched to";
        if button.on_hover_text(tip).clicked() {
            push(commands, ClearsCommand::Carry(row.name.clone()));
        }
        let mut marked = clears.marked.contains(&row.name);
        let mark = ui.checkbox(&mut marked, "beside");
        fields::name(&mark, &format!("Beside another: {}", row.title));
        if mark.changed() {
            push(commands, ClearsCommand::Mark(row.name.clone(), marked));
        }
    });
}

/// In how many ears it takes the debris out, and in how many it switches.
fn outcome_of(clears: &ClearsState, row: &Ranked) -> String {
    let from = if clears.asked.place.at_is_short() {
        "Cleared"
    } else {
        "Out of the long arm"
    };
    let mut words = format!("{from}: {}. ", in_hundred(&row.out));
    if row.switched.count > 0 {
        words.push_str("Switched: ");
        words.push_str(&in_hundred(&row.switched));
        let into = switched_into(row);
        if !into.is_empty() {
            words = format!("{words} ({into})");
        }
        words.push('.');
    } else {
        words.push_str("Switched in none.");
    }
    if row.is_near_best {
        words += " As good as the best, as far as these ears tell.";
    }
    if !row.is_meant {
        words += " Not meant for this canal and place.";
    }
    words
}

/// "all to the anterior canal", "4 to the anterior canal, under 1 to the lateral canal": of 100 ears, as all
/// around it.
fn switched_into(row: &Ranked) -> String {
    if let [(canal, ears)] = row.switched_to.as_slice()
        && u64::from(*ears) == row.switched.count
    {
        return format!("all to the {} canal", canal.name());
    }
    let into = row.switched_to.iter().map(|(canal, ears)| {
        let share = of_hundred(u64::from(*ears), row.switched.of);
        format!("{share} to the {} canal", canal.name())
    });
    into.collect::<Vec<_>>().join(", ")
}

/// What it asks of the patient.
fn strain_of(row: &Ranked) -> String {
    let strain = &row.strain;
    let low = if strain.lowest_head_deg > 0.5 {
        format!(
            "Head up to {:.0}° below the horizontal, for {} in all",
            strain.lowest_head_deg,
            clock_words(strain.inverted_s)
        )
    } else {
        "Head never below the horizontal".to_owned()
    };
    format!(
        "{low}; {} in the chair, at most {:.0}°/s.",
        clock_words(strain.duration_s),
        strain.fastest_deg_s
    )
}

/// "34 s", "3:20 min", "12 h".
fn clock_words(time_s: f64) -> String {
    if time_s < 60.0 {
        format!("{time_s:.0} s")
    } else if time_s < 7200.0 {
        let whole = clock(time_s);
        let minutes = whole.split('.').next().unwrap_or_default();
        format!("{minutes} min")
    } else {
        format!("{:.0} h", time_s / 3600.0)
    }
}

#[cfg(test)]
mod tests {
    use super::clock_words;
    use crate::kit::ear_dots::of_hundred;

    #[test]
    fn a_part_of_the_ears_is_told_of_a_hundred() {
        assert_eq!(of_hundred(3, 200), "2");
        assert_eq!(of_hundred(0, 200), "0");
        assert_eq!(of_hundred(1, 1000), "under 1");
    }

    #[test]
    fn times_have_no_more_digits_than_they_deserve() {
        assert_eq!(clock_words(34.4), "34 s");
        assert_eq!(clock_words(200.0), "3:20 min");
        assert_eq!(clock_words(43_203.0), "12 h");
    }
}
