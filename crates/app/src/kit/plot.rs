//! A plot in the window's colours.

use egui::{Response, Role, Ui, WidgetInfo, vec2};
use egui_plot::Plot;

use super::theme::Palette;

/// A plot in the window's colours that zooms but leaves the wheel to the column.
pub fn plain_plot<'a>(ui: &Ui, name: &'a str, high: f32) -> Plot<'a> {
    let palette = Palette::of(ui);
    Plot::new(name)
        .height(high)
        .width(ui.available_width())
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .show_background(false)
        .grid_color(palette.hairline)
        .set_margin_fraction(vec2(0.02, 0.04))
}

/// Gives a plot its name for assistive technology.
pub fn name_plot(response: &Response, name: &str) {
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, name));
}
