//! The strip below the top bar: what went wrong, or how far the computing is.

use egui::{
    CornerRadius, Frame, Margin, ProgressBar, RichText, Sense, Shape, Stroke, Ui, pos2, vec2,
};

use crate::{
    command::Command,
    controls::{self, Icon},
    theme::{self, Palette},
};

/// A failure in its own words; stays until dismissed.
pub fn banner_ui(ui: &mut Ui, words: &str, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    strip(&palette).show(ui, |ui| {
        ui.horizontal(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(20.0, 20.0), Sense::hover());
            let c = rect.center();
            let corners = vec![c + vec2(0.0, -8.0), c + vec2(9.0, 7.0), c + vec2(-9.0, 7.0)];
            let stroke = Stroke::new(1.5, palette.text);
            ui.painter().add(Shape::closed_line(corners, stroke));
            ui.painter()
                .line_segment([c + vec2(0.0, -3.0), c + vec2(0.0, 2.0)], stroke);
            ui.painter()
                .circle_filled(pos2(c.x, c.y + 4.5), 1.0, palette.text);
            ui.vertical(|ui| {
                ui.set_width(ui.available_width() - 40.0);
                ui.spacing_mut().item_spacing.y = 0.0;
                ui.label(RichText::new(words).color(palette.text));
                let weak = RichText::new("What was open stays as it is.").color(palette.weak);
                ui.label(weak.font(theme::small()));
            });
            let tip = "Dismiss this message";
            if controls::icon_button(ui, Icon::Close, 24.0, "Dismiss", tip).clicked() {
                commands.push(Command::DismissBanner);
            }
        });
    });
}

/// How far the computing is, with a way to stop it.
pub fn progress_ui(ui: &mut Ui, share: f32, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    strip(&palette).show(ui, |ui| {
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
                commands.push(Command::CancelWork);
            }
        });
    });
}

fn strip(palette: &Palette) -> Frame {
    Frame::new()
        .fill(palette.block)
        .inner_margin(Margin::symmetric(16, 8))
}
