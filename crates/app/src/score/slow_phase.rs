//! Slow-phase velocity over time: vertical, torsional, horizontal.

use egui::{Align2, Color32, Painter, Rect, Shape, Stroke, pos2};
use lithodrome_labyrinth::Vec3;

use super::{Lane, curve};
use crate::{stage_data::Loaded, theme};

/// Index into an eye vector, its sign on screen (up), and the words for up and down.
const PARTS: [(usize, f32, &str, &str); 3] = [
    (1, -1.0, "up", "down"),
    (0, -1.0, "pole left", "pole right"),
    (2, -1.0, "right", "left"),
];

/// Draws the three parts on one scale, debris solid, all else thin.
pub fn draw(painter: &Painter, lane: &Lane, loaded: &Loaded) {
    let palette = &lane.palette;
    lane.name(painter, "Slow");
    let second = pos2(lane.all.left() + 12.0, lane.rect.top() + 15.0);
    painter.text(
        second,
        Align2::LEFT_TOP,
        "phase",
        theme::small_strong(),
        palette.weak,
    );
    let peak = |column: &[Vec3]| column.iter().map(Vec3::amax).fold(0.0, f64::max) as f32;
    let full = peak(&loaded.eyes.debris_slow_phase_rad_s).max(10f32.to_radians()) * 1.08;
    let height = lane.rect.height() / 3.0;
    let now = loaded
        .between(lane.time_s)
        .of_vectors(&loaded.eyes.debris_slow_phase_rad_s);
    for (i, (part, sign, up, down)) in PARTS.into_iter().enumerate() {
        let top = lane.rect.top() + height * i as f32;
        let rect = Rect::from_x_y_ranges(lane.rect.x_range(), top + 1.0..=top + height - 1.0);
        let middle = rect.center().y.round() + 0.5;
        painter.hline(rect.x_range(), middle, palette.hair());
        let words = if height >= 26.0 {
            [(-6.5, up), (6.5, down)]
        } else {
            [(0.0, up), (0.0, "")]
        };
        for (off, word) in words {
            lane.label(painter, middle + off, word, palette.weak);
        }
        let y = |v: f32| {
            (middle - v * sign / full * rect.height() / 2.0).clamp(rect.top(), rect.bottom())
        };
        let inside = painter.with_clip_rect(rect);
        let trace = |column: &[Vec3], stroke: Stroke| {
            let value = |k: usize| column.get(k).map_or(f32::NAN, |v| v[part] as f32);
            for line in curve::polylines(&lane.axis, &loaded.run.time_s, value, y) {
                inside.add(Shape::line(line, stroke));
            }
        };
        trace(
            &loaded.eyes.slow_phase_rad_s,
            Stroke::new(1.0, palette.block_strong),
        );
        trace(
            &loaded.eyes.debris_slow_phase_rad_s,
            Stroke::new(1.5, palette.text),
        );
        let speed = now[part].to_degrees() as f32 * sign;
        let (text, ink): (String, Color32) = if speed.abs() < 0.5 {
            ("0°/s".to_owned(), palette.weak)
        } else {
            let word = if speed > 0.0 { up } else { down };
            (format!("{word} {:.0}°/s", speed.abs()), palette.text)
        };
        lane.value(painter, middle, &text, ink);
    }
}
