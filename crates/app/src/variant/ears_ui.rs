//! The worst ears, each to be opened as a run, runs that failed, and what decides.

use egui::{Grid, ProgressBar, Ui};

use super::{ask::push, command::VariantCommand, desk::Found, words};
use crate::{
    kit::{
        controls, fields,
        theme::{self, Palette},
    },
    session::command::Command,
};

/// Inputs that are shown, the strongest first.
const INPUTS: usize = 10;

/// The table of the worst ears.
pub(super) fn ears_ui(ui: &mut Ui, found: &Found, sequence: usize, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let Some(summary) = found.report.sequences.get(sequence) else {
        return;
    };
    if summary.worst.is_empty() && summary.errors.is_empty() {
        let words = "Every ear is cleared: there is no bad one to open.";
        controls::line(ui, words, theme::body(), palette.weak);
        return;
    }
    let words = format!(
        "The worst {} ears of {}. One opens as a run with its own anatomy, debris and errors of the operator.",
        summary.worst.len(),
        summary.n
    );
    controls::line(ui, words, theme::small(), palette.weak);
    let grid = Grid::new("worst ears").striped(true);
    grid.spacing([12.0, 4.0]).show(ui, |ui| {
        for worst in &summary.worst {
            let button = ui.small_button("Open");
            fields::name(&button, &format!("Open ear {}", worst.index));
            let tip = "As a new scenario; unsaved changes are asked about first";
            if button.on_hover_text(tip).clicked() {
                push(
                    commands,
                    VariantCommand::OpenEar {
                        sequence,
                        ear: worst.index,
                    },
                );
            }
            ui.label(format!("Ear {}", worst.index));
            ui.label(worst.end.name());
            ui.label(&worst.region);
            ui.end_row();
        }
    });
    if !summary.errors.is_empty() {
        controls::section(ui, "Runs that failed, counted as not cleared");
        for failed in &summary.errors {
            let words = format!("Ear {}: {}", failed.index, failed.error);
            controls::line(ui, words, theme::small(), palette.text);
        }
    }
}

/// How much each input decides.
pub(super) fn inputs_ui(ui: &mut Ui, found: &Found, sequence: usize) {
    let palette = Palette::of(ui);
    let Some(summary) = found.report.sequences.get(sequence) else {
        return;
    };
    if summary.sensitivity.is_empty() {
        let words = "Too few ears, or all end alike: nothing can be said about what decides.";
        controls::line(ui, words, theme::body(), palette.weak);
        return;
    }
    let words = "How much of whether an ear is cleared each input decides alone (first-order index). With few ears these are rough.";
    controls::line(ui, words, theme::small(), palette.weak);
    bars_ui(ui, found, sequence);
}

/// The bars alone.
pub fn bars_ui(ui: &mut Ui, found: &Found, sequence: usize) {
    let palette = Palette::of(ui);
    let Some(summary) = found.report.sequences.get(sequence) else {
        return;
    };
    let wide = (ui.available_width() - 208.0).max(48.0);
    let grid = Grid::new(("inputs", sequence));
    grid.spacing([8.0, 4.0]).show(ui, |ui| {
        for input in summary.sensitivity.iter().take(INPUTS) {
            ui.label(words::input(&input.input));
            let share = input.first_order.clamp(0.0, 1.0);
            let bar = ProgressBar::new(share as f32)
                .desired_width(wide)
                .desired_height(8.0)
                .corner_radius(egui::CornerRadius::ZERO)
                .fill(palette.weak);
            let name = format!("{:.0} % by {}", 100.0 * share, words::input(&input.input));
            ui.add(bar).widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::ProgressIndicator, true, &name)
            });
            ui.label(format!("{:.0} %", 100.0 * share));
            ui.end_row();
        }
    });
}
