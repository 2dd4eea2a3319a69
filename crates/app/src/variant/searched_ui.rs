//! The sequence that was searched for: about how good at once, checked later, and what each hold is for.

use egui::Ui;
use lithodrome_study::Searched;

use super::{
    ask::push,
    command::VariantCommand,
    courses_ui::courses_ui,
    searching::{AIM, Searching},
    words,
};
use crate::{
    kit::{
        controls, fields,
        theme::{self, Palette},
    },
    session::command::Command,
};

/// Coarse answer, checked answer, holds.
pub(super) fn searched_ui(ui: &mut Ui, searching: &Searching, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    if let Some(fault) = &searching.fault {
        fields::warning(ui, fault);
    }
    if !searching.is_checked() {
        coarse_ui(ui, searching, &palette);
    }
    let Some(searched) = &searching.searched else {
        return;
    };
    if !searching.is_checked() {
        let words = format!("Checked before, with {}:", searched.report.limits.words());
        controls::line(ui, words, theme::small(), palette.weak);
    }
    checked_ui(ui, searched, commands);
}

fn coarse_ui(ui: &mut Ui, searching: &Searching, palette: &Palette) {
    let words = match (searching.coarse_now(), searching.has_tables()) {
        (Some(coarse), _) => match &coarse.answer {
            Some(answer) => format!(
                "About {:.0} in 100 ears {} with {} holds.",
                100.0 * answer.share,
                AIM.words(),
                answer.holds_deg.len()
            ),
            None => "No posture within these limits can be reached.".to_owned(),
        },
        (None, true) => "The tables are there; looking at these limits.".to_owned(),
        (None, false) if searching.is_busy() => "Making the tables; seconds.".to_owned(),
        (None, false) => {
            "Nothing was searched for; it begins once the known treatments are computed.".to_owned()
        }
    };
    controls::line(ui, words, theme::body_strong(), palette.text);
    if let Some(coarse) = searching.coarse_now().filter(|c| c.answer.is_some()) {
        let words = format!(
            "Coarse, in {:.0} ms: the best of many by the tables alone, in the ears that it was chosen on. {}",
            1000.0 * coarse.seconds,
            if searching.is_busy() {
                "The engine is checking it."
            } else {
                "It was not checked."
            }
        );
        controls::line(ui, words, theme::small(), palette.weak);
    }
}

fn checked_ui(ui: &mut Ui, searched: &Searched, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let report = &searched.report;
    if report.found {
        controls::line(ui, words::found(report), theme::body_strong(), palette.text);
        if let Some(beside) = &report.beside {
            let words = format!("Beside {}: {}.", beside.title, beside.words);
            controls::line(ui, words, theme::small(), palette.text);
        }
        let button = ui.button("Open the found one");
        let tip = "As a new scenario, to change, drive, print and compare";
        if button.on_hover_text(tip).clicked() {
            push(commands, VariantCommand::OpenSearched);
        }
    } else {
        let words = "None was found.";
        controls::line(ui, words, theme::body_strong(), palette.text);
    }
    courses_ui(ui, &searched.courses);
    for (i, hold) in report.sequence.iter().enumerate() {
        let words = format!(
            "{}. {}: yaw {:.0}°, track {:.0}°, hold {:.0} s",
            i + 1,
            hold.name,
            hold.yaw_deg,
            hold.track_deg,
            hold.hold_s
        );
        controls::line(ui, words, theme::small_strong(), palette.text);
        controls::line(ui, &hold.reason.words, theme::small(), palette.text);
    }
    controls::line(ui, &report.why, theme::small(), palette.weak);
}
