//! The figures of the log: a plot of the share by home with its interval, and all of them in lines.

use egui::{Align2, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use lithodrome_visits::{Figures, Proportion};

use crate::kit::{
    controls,
    theme::{self, Palette},
};

const ROW: f32 = 22.0;
const NAMES: f32 = 64.0;
const COUNTS: f32 = 72.0;
const AXIS: f32 = 24.0;

/// Shows them.
pub(super) fn figures_ui(ui: &mut Ui, figures: &Figures) {
    controls::section(ui, "Share with debris found, by home (95 %, Wilson)");
    plot_ui(ui, figures);
    ui.label(figures.text());
}

fn plot_ui(ui: &mut Ui, figures: &Figures) {
    let palette = Palette::of(ui);
    let homes = figures.homes.iter().map(|h| (h.home.as_str(), &h.point));
    let rows: Vec<(&str, &Proportion)> = homes.chain([("all", &figures.pooled)]).collect();
    let size = vec2(ui.available_width(), ROW * rows.len() as f32 + AXIS);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let words: Vec<String> = rows.iter().map(|(name, p)| row_words(name, p)).collect();
    let name = format!("Share by home: {}", words.join("; "));
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, name.as_str()));
    let top = rows.iter().map(|(_, p)| p.wilson.high).fold(0.05, f64::max);
    let (left, right) = (rect.left() + NAMES, rect.right() - COUNTS);
    let x = |share: f64| left + (right - left) * (share / top) as f32;
    let painter = ui.painter_at(rect);
    let write = |at, align, text: &str, ink| {
        painter.text(at, align, text, theme::small(), ink);
    };
    for (i, (name, p)) in rows.iter().enumerate() {
        let y = rect.top() + ROW * (i as f32 + 0.5);
        write(
            pos2(rect.left(), y),
            Align2::LEFT_CENTER,
            name,
            palette.text,
        );
        let stroke = Stroke::new(1.5, palette.text);
        painter.hline(x(p.wilson.low)..=x(p.wilson.high), y, stroke);
        if let Some(share) = p.share {
            painter.circle_filled(pos2(x(share), y), 4.0, palette.text);
        }
        let count = format!("{} of {}", p.count, p.of);
        write(
            pos2(rect.right(), y),
            Align2::RIGHT_CENTER,
            &count,
            palette.weak,
        );
    }
    let y = rect.bottom() - AXIS + 4.0;
    painter.hline(left..=right, y, palette.hair());
    for k in 0..=4 {
        let share = top * f64::from(k) / 4.0;
        let text = format!("{:.0} %", 100.0 * share);
        write(
            pos2(x(share), y + 10.0),
            Align2::CENTER_CENTER,
            &text,
            palette.weak,
        );
    }
}

/// "H-1 3 of 20, 15 % (5 to 36)".
fn row_words(name: &str, p: &Proportion) -> String {
    let Some(share) = p.share else {
        return format!("{name} nobody");
    };
    let [share, low, high] = [share, p.wilson.low, p.wilson.high].map(|s| 100.0 * s);
    format!(
        "{name} {} of {}, {share:.0} % ({low:.0} to {high:.0})",
        p.count, p.of
    )
}
