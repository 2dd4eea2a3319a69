//! The strip below the top bar: what went wrong, or how far the computing is.

use egui::{Align, CornerRadius, Layout, ProgressBar, RichText, Ui};

use crate::{
    kit::controls::{self, Icon, strip},
    kit::theme::{self, Palette},
    session::command::{Command, EditCommand, ViewCommand},
};

/// A failure in its own words; stays until dismissed. `open` tells that a scenario is shown.
pub fn banner_ui(ui: &mut Ui, words: &str, open: bool, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    strip(&palette).show(ui, |ui| {
        ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
            let tip = "Dismiss this message";
            if controls::icon_button(ui, Icon::Close, 24.0, "Dismiss", tip).clicked() {
                commands.push(Command::View(ViewCommand::DismissBanner));
            }
            ui.with_layout(Layout::left_to_right(Align::Min), |ui| {
                controls::warning_sign(ui, &palette);
                ui.vertical(|ui| {
                    ui.spacing_mut().item_spacing.y = 0.0;
                    ui.label(RichText::new(words).color(palette.text));
                    if open {
                        let weak = RichText::new("What was open stays as it is.");
                        ui.label(weak.color(palette.weak).font(theme::small()));
                    }
                });
            });
        });
    });
}

/// Drawing is slow, and why; stays until dismissed.
pub fn slow_ui(ui: &mut Ui, words: &str, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    strip(&palette).show(ui, |ui| {
        ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
            let (name, tip) = (
                "Dismiss the word on drawing",
                "It is not said again until the next start",
            );
            if controls::icon_button(ui, Icon::Close, 24.0, name, tip).clicked() {
                commands.push(Command::View(ViewCommand::DismissSlow));
            }
            let words = RichText::new(words)
                .font(theme::small())
                .color(palette.text);
            ui.with_layout(Layout::left_to_right(Align::Min), |ui| {
                ui.add(egui::Label::new(words).wrap());
            });
        });
    });
}

/// How far the computing is, with a way to stop it.
pub fn progress_ui(ui: &mut Ui, share: f32, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    strip(&palette).show(ui, |ui| {
        ui.set_min_width(ui.available_width());
        ui.horizontal(|ui| {
            ui.label(RichText::new("Computing the run").color(palette.text));
            let wide = (ui.available_width() - 96.0).max(64.0);
            let bar = ProgressBar::new(share)
                .desired_width(wide)
                .desired_height(8.0)
                .fill(palette.weak)
                .corner_radius(CornerRadius::same(4));
            let bar = ui.add(bar);
            bar.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::ProgressIndicator, true, "Computing the run")
            });
            if ui
                .button("Cancel")
                .on_hover_text("Stop computing; what was open stays")
                .clicked()
            {
                commands.push(Command::Edit(EditCommand::CancelWork));
            }
        });
    });
}
