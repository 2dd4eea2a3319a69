//! The manoeuvres for the question, the best first: dots, words, what each asks of the patient.

use egui::{RichText, Sense, Ui, vec2};
use lithodrome_study::Ranked;

use super::{
    command::ClearsCommand,
    detail_ui,
    state::{ClearsState, Known},
};
use crate::{
    kit::controls,
    kit::ear_dots::{self, dots_ui, in_hundred},
    kit::theme::{self, Palette},
    lesson::ask::clears as push,
    score::axis::clock,
    session::command::Command,
};

/// From dot to dot, points.
const PITCH: f32 = 9.0;
/// Rows that are shown before more is asked for.
const FIRST: usize = 6;

/// Shows them.
pub(super) fn ranking_ui(
    ui: &mut Ui,
    clears: &ClearsState,
    known: &Known,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    if clears.ranked.is_empty() {
        let words = "The map has no ears for this case.";
        controls::line(ui, words, theme::body(), palette.weak);
        return;
    }
    beside_button(ui, clears, &palette, commands);
    for (i, row) in clears.ranked.iter().take(FIRST).enumerate() {
        row_ui(ui, clears, i, row, commands);
    }
    let rest = clears.ranked.len().saturating_sub(FIRST);
    if rest > 0 {
        ui.collapsing(format!("{rest} more"), |ui| {
            for (i, row) in clears.ranked.iter().enumerate().skip(FIRST) {
                row_ui(ui, clears, i, row, commands);
            }
        });
    }
    legend_ui(ui, clears, &palette);
    let from = &known.map.provenance;
    let words = format!(
        "{} ears, seed {}, {}. Ears differ, so do sizes and operators; one clump in each. A teaching model, not a \
         medical device.",
        from.ears, from.seed, from.mixture
    );
    controls::line(ui, words, theme::small(), palette.weak);
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
        if button.on_hover_text(tip).clicked() {
            push(commands, ClearsCommand::Beside);
        }
        if !two {
            let words = format!("{} of 2 chosen", clears.marked.len());
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
    controls::line(
        ui,
        format!("{}. {}", i + 1, row.title),
        theme::body_strong(),
        ink,
    );
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 12.0;
        dots_ui(ui, &row.ends, clears.asked.canal.canal, PITCH, &row.title);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            for words in said_of(clears, row) {
                controls::line(ui, words, theme::small(), ink);
            }
        });
    });
    for words in &row.breaks {
        controls::line(ui, format!("⚠ {words}"), theme::small(), palette.text);
    }
    ui.horizontal(|ui| {
        let button = ui.button("Open its run");
        crate::kit::fields::name(&button, &format!("Open its run: {}", row.title));
        let tip = "On the stages, in an ear that ends as most do";
        if button.on_hover_text(tip).clicked() {
            push(commands, ClearsCommand::Open(row.name.clone(), None));
        }
        let mut marked = clears.marked.contains(&row.name);
        let mark = ui.checkbox(&mut marked, "beside");
        crate::kit::fields::name(&mark, &format!("Beside another: {}", row.title));
        if mark.changed() {
            push(commands, ClearsCommand::Mark(row.name.clone(), marked));
        }
        let button = ui.button("Bed, neck");
        crate::kit::fields::name(&button, &format!("On a bed: {}", row.title));
        let tip = "The same ears on a bed, with a healthy and with a stiff neck, and where debris switched to";
        if button.on_hover_text(tip).clicked() {
            push(commands, ClearsCommand::Carry(row.name.clone()));
        }
    });
    detail_ui::detail_ui(ui, clears, row, commands);
}

/// What there is to say of a manoeuvre, a sentence before a number.
fn said_of(clears: &ClearsState, row: &Ranked) -> Vec<String> {
    let from = if clears.asked.place.at_is_short() {
        "Cleared"
    } else {
        "Out of the long arm"
    };
    let mut all = vec![format!("{from}: {}", in_hundred(&row.out))];
    if row.switched.count > 0 {
        all.push(format!("Switched: {}", in_hundred(&row.switched)));
    } else {
        all.push("Switched in no ear".to_owned());
    }
    let strain = &row.strain;
    let low = if strain.lowest_head_deg > 0.5 {
        format!(
            "Head {:.0}° below the horizontal, {} in all",
            strain.lowest_head_deg,
            clock_words(strain.inverted_s)
        )
    } else {
        "Head never below the horizontal".to_owned()
    };
    all.push(low);
    all.push(format!(
        "{} in the chair, at most {:.0}°/s",
        clock_words(strain.duration_s),
        strain.fastest_deg_s
    ));
    if !row.is_meant {
        all.push("Not meant for this canal and place".to_owned());
    }
    if row.is_near_best {
        all.push("As good as the best, as far as these ears tell".to_owned());
    }
    all
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

fn legend_ui(ui: &mut Ui, clears: &ClearsState, palette: &Palette) {
    ui.separator();
    ui.collapsing("What the dots mean", |ui| {
        for end in ear_dots::all_ends() {
            let line = ui.horizontal(|ui| {
                let (rect, _) = ui.allocate_exact_size(vec2(16.0, 16.0), Sense::hover());
                let canal = clears.asked.canal.canal;
                ear_dots::paint(ui.painter(), rect.center(), 5.0, end, canal, palette);
                let words = format!("{}: {}", ear_dots::end_name(end), ear_dots::end_tip(end));
                controls::line(ui, words, theme::small(), palette.text);
            });
            line.response.on_hover_text(ear_dots::end_tip(end));
        }
    });
}

#[cfg(test)]
mod tests {
    use super::clock_words;

    #[test]
    fn times_have_no_more_digits_than_they_deserve() {
        assert_eq!(clock_words(34.4), "34 s");
        assert_eq!(clock_words(200.0), "3:20 min");
        assert_eq!(clock_words(43_203.0), "12 h");
    }
}
