//! What was found: the question it answers, its parts, and how to take it out.

use egui::Ui;

use super::{
    VariantState, ask::push, beside_ui, command::VariantCommand, curve_ui, desk::Found, dots_ui,
    ears_ui, heat_ui, limits_ui, state::Part, take_out_ui, words,
};
use crate::{
    kit::controls,
    kit::theme::{self, Palette},
    session::Session,
    session::command::Command,
};

/// Shows the result.
pub(super) fn result_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let variant = &session.variant;
    let Some(found) = variant.found.clone() else {
        return;
    };
    let waits = variant.desk.is_busy() && !variant.found_is_new;
    if waits {
        // Of the question before.
        ui.set_opacity(0.55);
    }
    head_ui(ui, session, &found);
    let parts = variant.parts();
    let options: Vec<(Part, &str, &str)> = parts
        .iter()
        .map(|part| (*part, part.words().0, part.words().1))
        .collect();
    if let Some(part) = controls::choice(ui, "Result", variant.shown_part(), &options) {
        push(commands, VariantCommand::Show(part));
    }
    ui.add_space(4.0);
    part_ui(ui, variant, &found, commands);
    ui.add_space(8.0);
    take_out_ui::take_out_ui(ui, variant, &found, commands);
    ui.set_opacity(1.0);
}

/// Which question this answers, over how many ears, and whether it still holds.
fn head_ui(ui: &mut Ui, session: &Session, found: &Found) {
    let palette = Palette::of(ui);
    let variant = &session.variant;
    controls::line(
        ui,
        &found.study.file.title,
        theme::body_strong(),
        palette.text,
    );
    let (done, of) = (found.done(), found.of);
    let ears = if found.is_whole() {
        match found.kept {
            0 => format!("{done} ears in {:.1} s", found.seconds),
            kept if kept == done => format!("{done} ears, kept from before"),
            kept => format!("{done} ears, {kept} of them kept from before"),
        }
    } else if variant.desk.is_busy() && variant.found_is_new {
        format!("The first {done} of {of} ears; more are coming")
    } else {
        format!("Stopped after {done} of {of} ears")
    };
    let words = format!(
        "{ears}; debris in the {}; {}",
        found.study.canal().name(),
        found.study.mixture.title
    );
    controls::line(ui, words, theme::small(), palette.weak);
    if has_changed(session, found) {
        let words = "The open scenario has changed since; this is of what it was.";
        controls::line(ui, words, theme::small(), palette.text);
    }
}

/// The sequence that was the open scenario is another one now.
fn has_changed(session: &Session, found: &Found) -> bool {
    let place = found
        .study
        .file
        .sequences
        .iter()
        .position(|name| name == super::asked::OPEN_SCENARIO);
    let asked = place.and_then(|i| found.study.sequences.get(i));
    match (asked, &session.draft) {
        (Some(asked), Some(draft)) => asked.scenario != **draft.scenario(),
        _ => false,
    }
}

fn part_ui(ui: &mut Ui, variant: &VariantState, found: &Found, commands: &mut Vec<Command>) {
    let part = variant.shown_part();
    let one = matches!(part, Part::Inputs | Part::Ears)
        || (part == Part::Share && found.asked != super::form::Asked::Gentler);
    if one && found.report.sequences.len() > 1 {
        sequence_ui(ui, variant, found, commands);
    }
    let sequence = variant.shown_sequence();
    match part {
        Part::Share if found.asked == super::form::Asked::Gentler => {
            for (i, summary) in found.report.sequences.iter().enumerate() {
                let palette = Palette::of(ui);
                controls::line(ui, &summary.sequence, theme::small_strong(), palette.weak);
                share_ui(ui, found, i);
                ui.add_space(8.0);
            }
        }
        Part::Share => share_ui(ui, found, sequence),
        Part::Beside => beside_ui::beside_ui(ui, found),
        Part::Limits => limits_ui::limits_ui(ui, variant, found, commands),
        Part::Curve => curve_ui::curve_ui(ui, found),
        Part::Heat => heat_ui::heat_ui(ui, found),
        Part::Inputs => ears_ui::inputs_ui(ui, found, sequence),
        Part::Ears => ears_ui::ears_ui(ui, found, sequence, commands),
    }
}

/// Which sequence is looked at.
fn sequence_ui(ui: &mut Ui, variant: &VariantState, found: &Found, commands: &mut Vec<Command>) {
    let now = variant.shown_sequence();
    let names = || found.report.sequences.iter().map(|s| s.sequence.as_str());
    let mut chosen = now;
    let shown = egui::ComboBox::from_id_salt("sequence of the result")
        .width(ui.available_width() - 8.0)
        .truncate()
        .selected_text(names().nth(now).unwrap_or_default())
        .show_ui(ui, |ui| {
            for (i, name) in names().enumerate() {
                ui.selectable_value(&mut chosen, i, name);
            }
        });
    crate::kit::fields::name(&shown.response, "Sequence of the result");
    shown
        .response
        .on_hover_text("Which sequence is shown below");
    if chosen != now {
        push(commands, VariantCommand::ShowSequence(chosen));
    }
}

/// Dots, and when and where debris leaves.
fn share_ui(ui: &mut Ui, found: &Found, sequence: usize) {
    dots_ui::share_ui(ui, found, sequence);
    let palette = Palette::of(ui);
    let Some(summary) = found.report.sequences.get(sequence) else {
        return;
    };
    let steps = found.study.sequences.get(sequence);
    let steps = steps.map_or(0, |s| s.scenario.steps.len());
    let out = words::out_of_long_arms(summary);
    let exit = words::exit(summary.exit_s.as_ref());
    let first = out.into_iter().chain(exit);
    for words in first.chain(words::exits(summary, steps)) {
        controls::line(ui, words, theme::small(), palette.text);
    }
}
