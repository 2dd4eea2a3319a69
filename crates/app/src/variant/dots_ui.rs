//! The share as an icon array: shape tells the end, tint the canal that debris switched to.

use egui::{Color32, Pos2, Rect, Response, Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2};
use lithodrome_labyrinth::CanalId;

use super::{
    desk::Found,
    dots::{self, DotEnd, DotRow, SIDE},
    words,
};
use crate::kit::{
    controls,
    theme::{self, Palette},
};

/// From dot to dot, points.
const PITCH: f32 = 15.0;
/// Radius of a dot, points.
const RADIUS: f32 = 5.0;

/// Dots and legend of one sequence, with its share in words.
pub fn share_ui(ui: &mut Ui, found: &Found, sequence: usize) {
    let summary = found.report.sequences.get(sequence);
    let Some((summary, rows)) = summary.zip(found.dots.get(sequence)) else {
        return;
    };
    let palette = Palette::of(ui);
    let canal = found.study.canal();
    let share = words::cleared(summary);
    let sentence = format!("Cleared: {}.", words::share(&share));
    controls::line(ui, sentence, theme::body_strong(), palette.text);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 16.0;
        dots_ui(ui, rows, canal, &summary.sequence);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            legend_ui(ui, rows, canal, found.done());
        });
    });
}

/// The dots alone.
pub fn dots_ui(ui: &mut Ui, rows: &[DotRow], canal: CanalId, of: &str) -> Response {
    let all: usize = rows.iter().map(|r| r.dots).sum();
    let high = all.div_ceil(SIDE).max(1) as f32 * PITCH;
    let (rect, response) = ui.allocate_exact_size(vec2(SIDE as f32 * PITCH, high), Sense::hover());
    let told: Vec<String> = rows
        .iter()
        .map(|r| format!("{} {}", r.dots, r.end.name()))
        .collect();
    let name = format!("{all} dots for {of}: {}", told.join(", "));
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    let ends = rows.iter().flat_map(|r| std::iter::repeat_n(r.end, r.dots));
    for (i, end) in ends.enumerate() {
        let (column, row) = (i % SIDE, i / SIDE);
        let at = vec2(column as f32 + 0.5, row as f32 + 0.5) * PITCH;
        paint_dot(ui, rect.min + at, end, canal);
    }
    response.on_hover_text(told.join("\n"))
}

/// Every end that is there: its dot, its word, its ears.
fn legend_ui(ui: &mut Ui, rows: &[DotRow], canal: CanalId, ears: u32) {
    let palette = Palette::of(ui);
    for row in rows {
        let line = ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 8.0;
            let (rect, _) = ui.allocate_exact_size(vec2(PITCH, 18.0), Sense::hover());
            paint_dot(ui, rect.center(), row.end, canal);
            let percent = 100.0 * row.ears as f64 / f64::from(ears.max(1));
            let text = if ears as usize <= dots::ALL {
                format!("{} {}", row.ears, row.end.name())
            } else {
                format!("{percent:.1} % {}", row.end.name())
            };
            controls::line(ui, text, theme::small(), palette.text);
        });
        line.response.on_hover_text(row.end.tip());
    }
    let unit = if ears as usize <= dots::ALL {
        "One dot an ear".to_owned()
    } else {
        format!("One dot for each hundredth of {ears} ears")
    };
    controls::line(ui, unit, theme::small(), palette.weak);
}

/// Cleared is full, behind the cupula half full, inside a ring, held a ring with a bar, passing a ring with a
/// point, switched a triangle, failed a cross.
pub fn paint_dot(ui: &Ui, c: Pos2, end: DotEnd, canal: CanalId) {
    let palette = Palette::of(ui);
    let own = tint(theme::canal_colour(canal.canal), &palette);
    let painter = ui.painter();
    let ring = |ink: Color32| painter.circle_stroke(c, RADIUS - 0.8, Stroke::new(1.6, ink));
    match end {
        DotEnd::Cleared => {
            painter.circle_filled(c, RADIUS, palette.text);
        }
        DotEnd::BehindCupula => {
            ring(palette.text);
            let arc = (0..=16).map(|i| {
                let a = std::f32::consts::PI * (0.5 + i as f32 / 16.0);
                c + (RADIUS - 0.8) * vec2(a.cos(), a.sin())
            });
            painter.add(Shape::convex_polygon(
                arc.collect(),
                palette.text,
                Stroke::NONE,
            ));
        }
        DotEnd::Inside => {
            ring(own);
        }
        DotEnd::Held => {
            ring(own);
            let bar = Rect::from_center_size(c, vec2(2.0 * RADIUS - 4.0, 2.0));
            painter.rect_filled(bar, 0.0, own);
        }
        DotEnd::Passing => {
            ring(palette.weak);
            painter.circle_filled(c, 1.8, palette.weak);
        }
        DotEnd::Switched(to) => {
            let ink = to.map_or(palette.weak, |to| tint(theme::canal_colour(to), &palette));
            let r = RADIUS + 0.8;
            let corners = vec![
                pos2(c.x, c.y - r),
                pos2(c.x + 0.95 * r, c.y + 0.75 * r),
                pos2(c.x - 0.95 * r, c.y + 0.75 * r),
            ];
            painter.add(Shape::convex_polygon(corners, ink, Stroke::NONE));
        }
        DotEnd::Failed => {
            let (d, stroke) = (3.8, Stroke::new(1.6, palette.text));
            painter.line_segment([c + vec2(-d, -d), c + vec2(d, d)], stroke);
            painter.line_segment([c + vec2(-d, d), c + vec2(d, -d)], stroke);
        }
    }
}

/// A tint that stands out from the ground of the theme.
fn tint(colour: Color32, palette: &Palette) -> Color32 {
    if palette.dark {
        colour
    } else {
        colour.lerp_to_gamma(Color32::BLACK, 0.25)
    }
}
