//! What egui has painted, as an SVG drawing: shapes and text stay shapes and text.

use std::fmt::Write as _;

use egui::{Color32, Pos2, Rect, Shape, Stroke, Vec2, epaint::ClippedShape};

use super::{caption, moment_words};
use crate::{
    kit::style, kit::theme::Palette, score::eye_traces::Traces, score::score_ui,
    session::command::EarShown, session::playback::Playback, work::stage_data::Loaded,
};

/// Height of the lines under the drawing, points.
const CAPTION: f32 = 40.0;

/// The score of a run with its cursor, in light colours, of this size in points.
pub fn score_svg(
    loaded: &Loaded,
    (time_s, ears): (f64, EarShown),
    traces: Traces,
    size: Vec2,
) -> String {
    let playback = Playback {
        time_s,
        duration_s: loaded.duration_s(),
        ..Playback::default()
    };
    drawing(size, &|ui| {
        let palette = Palette::of(ui);
        let ground = egui::Frame::new().fill(palette.score);
        egui::CentralPanel::default().frame(ground).show(ui, |ui| {
            let all = ui.available_rect_before_wrap();
            let foot = all.with_min_y(all.bottom() - CAPTION);
            let score = all.with_max_y(foot.top());
            ui.scope_builder(egui::UiBuilder::new().max_rect(score), |ui| {
                score_ui::score_ui(ui, loaded, None, &playback, traces, None, &mut Vec::new());
            });
            let small = crate::kit::theme::small();
            let moment = moment_words(loaded, time_s, ears);
            let lines = [
                (moment, palette.text),
                (caption(&loaded.scenario.title), palette.weak),
            ];
            for (i, (text, ink)) in lines.into_iter().enumerate() {
                let at = foot.left_top() + egui::vec2(12.0, 10.0 + 18.0 * i as f32);
                ui.painter()
                    .text(at, egui::Align2::LEFT_CENTER, text, small.clone(), ink);
            }
        });
    })
}

/// What is shown over all of a place of this size in points, in light colours.
pub(super) fn drawing(size: Vec2, show: &dyn Fn(&mut egui::Ui)) -> String {
    let ctx = egui::Context::default();
    style::install(&ctx);
    ctx.set_theme(egui::Theme::Light);
    let mut shapes = Vec::new();
    // The fonts are there from the second pass on, panels and plots find their sizes in it.
    for _ in 0..4 {
        let input = egui::RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, size)),
            ..egui::RawInput::default()
        };
        let mut output = ctx.run_ui(input, |ui| show(ui));
        shapes = std::mem::take(&mut output.shapes);
        output.drop_without_applying_deltas();
    }
    svg_of_shapes(&shapes, size)
}

/// A drawing of these shapes. Pictures of the graphics card are left out.
pub fn svg_of_shapes(shapes: &[ClippedShape], size: Vec2) -> String {
    let (w, h) = (size.x, size.y);
    let mut out = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" \
         width=\"{w}\" height=\"{h}\" viewBox=\"0 0 {w} {h}\" \
         font-family=\"IBM Plex Sans, sans-serif\">\n"
    );
    let whole = Rect::from_min_size(Pos2::ZERO, size);
    let mut clip: Option<Rect> = None;
    for (i, clipped) in shapes.iter().enumerate() {
        let mut inside = String::new();
        shape(&mut inside, &clipped.shape);
        if inside.is_empty() {
            continue;
        }
        if clip != Some(clipped.clip_rect) {
            if clip.is_some() {
                out.push_str("</g>\n");
            }
            let r = clipped.clip_rect.intersect(whole);
            let (width, height) = (r.width().max(0.0), r.height().max(0.0));
            let _ = writeln!(
                out,
                "<clipPath id=\"c{i}\"><rect x=\"{}\" y=\"{}\" width=\"{width}\" \
                 height=\"{height}\"/></clipPath>\n<g clip-path=\"url(#c{i})\">",
                r.left(),
                r.top()
            );
            clip = Some(clipped.clip_rect);
        }
        out.push_str(&inside);
    }
    if clip.is_some() {
        out.push_str("</g>\n");
    }
    out.push_str("</svg>\n");
    out
}

fn shape(out: &mut String, shape_of: &Shape) {
    match shape_of {
        Shape::Vec(inner) => inner.iter().for_each(|s| shape(out, s)),
        Shape::Circle(c) => {
            let _ = write!(
                out,
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"",
                n(c.center.x),
                n(c.center.y),
                n(c.radius)
            );
            paint(out, c.fill, c.stroke);
        }
        Shape::Ellipse(e) => {
            let (c, r) = (e.center, e.radius);
            let _ = write!(
                out,
                "<ellipse cx=\"{}\" cy=\"{}\" rx=\"{}\" ry=\"{}\"",
                n(c.x),
                n(c.y),
                n(r.x),
                n(r.y)
            );
            paint(out, e.fill, e.stroke);
        }
        Shape::LineSegment { points, stroke } => {
            path(out, points, false, Color32::TRANSPARENT, *stroke);
        }
        Shape::Path(p) => {
            let ink = match p.stroke.color {
                egui::epaint::ColorMode::Solid(ink) => ink,
                egui::epaint::ColorMode::UV(_) => Color32::TRANSPARENT,
            };
            path(
                out,
                &p.points,
                p.closed,
                p.fill,
                Stroke::new(p.stroke.width, ink),
            );
        }
        Shape::Rect(r) => {
            let _ = write!(
                out,
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" rx=\"{}\"",
                n(r.rect.left()),
                n(r.rect.top()),
                n(r.rect.width().max(0.0)),
                n(r.rect.height().max(0.0)),
                r.corner_radius.nw
            );
            paint(out, r.fill, r.stroke);
        }
        Shape::Text(t) => text(out, t),
        Shape::Mesh(mesh) => triangles(out, mesh),
        Shape::Noop
        | Shape::Band(_)
        | Shape::QuadraticBezier(_)
        | Shape::CubicBezier(_)
        | Shape::Callback(_) => {}
    }
}

fn path(out: &mut String, points: &[Pos2], closed: bool, fill: Color32, stroke: Stroke) {
    let (Some(first), true) = (points.first(), points.len() > 1) else {
        return;
    };
    let _ = write!(out, "<path d=\"M{} {}", n(first.x), n(first.y));
    for p in &points[1..] {
        let _ = write!(out, "L{} {}", n(p.x), n(p.y));
    }
    out.push_str(if closed { "Z\"" } else { "\"" });
    paint(out, fill, stroke);
}

/// Every triangle in the colour of its first corner, with a hair around it that closes the seams. One with a
/// texture has letters or a picture on it and is left out.
fn triangles(out: &mut String, mesh: &egui::Mesh) {
    if mesh.texture_id != egui::TextureId::default() {
        return;
    }
    for corners in mesh.indices.chunks_exact(3) {
        let of = |i: &u32| mesh.vertices.get(*i as usize);
        let corners: Vec<_> = corners.iter().filter_map(of).collect();
        let Some(first) = corners.first() else {
            continue;
        };
        let points: Vec<Pos2> = corners.iter().map(|v| v.pos).collect();
        // A seam of something seen through would be darker.
        let seam = if first.color.is_opaque() { 0.5 } else { 0.0 };
        path(
            out,
            &points,
            true,
            first.color,
            Stroke::new(seam, first.color),
        );
    }
}

fn text(out: &mut String, t: &egui::epaint::TextShape) {
    let mut letters_before = 0;
    for placed in &t.galley.rows {
        let row = &placed.row;
        let words: String = row.glyphs.iter().map(|g| g.chr).collect();
        // One colour and one font for a row: that of its first letter.
        let byte = t.galley.job.text.char_indices().nth(letters_before);
        letters_before += row.glyphs.len() + usize::from(placed.ends_with_newline);
        let (Some(first), Some((byte, _)), false) =
            (row.glyphs.first(), byte, words.trim().is_empty())
        else {
            continue;
        };
        let format = t
            .galley
            .job
            .sections
            .iter()
            .find(|s| (s.byte_range.start.0..s.byte_range.end.0).contains(&byte))
            .map(|s| s.format.clone())
            .unwrap_or_default();
        let mut ink = t.override_text_color.unwrap_or(format.color);
        if ink == Color32::PLACEHOLDER {
            ink = t.fallback_color;
        }
        let last = row.glyphs.last().map_or(0.0, |g| g.pos.x + g.advance_width);
        let at = t.pos + placed.pos.to_vec2() + first.pos.to_vec2();
        let strong =
            format.font_id.family == egui::FontFamily::Name(crate::kit::theme::STRONG.into());
        let _ = write!(
            out,
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{} textLength=\"{}\" \
             lengthAdjust=\"spacingAndGlyphs\"",
            n(at.x),
            n(at.y),
            format.font_id.size,
            if strong { " font-weight=\"600\"" } else { "" },
            n(last - first.pos.x)
        );
        if t.angle != 0.0 {
            let (x, y) = (n(t.pos.x), n(t.pos.y));
            let _ = write!(
                out,
                " transform=\"rotate({} {x} {y})\"",
                n(t.angle.to_degrees())
            );
        }
        let (hex, opacity) = colour(ink);
        let _ = writeln!(out, " fill=\"{hex}\"{opacity}>{}</text>", escaped(&words));
    }
}

/// Ends an element with its fill and stroke.
fn paint(out: &mut String, fill: Color32, stroke: Stroke) {
    if fill == Color32::TRANSPARENT {
        out.push_str(" fill=\"none\"");
    } else {
        let (hex, opacity) = colour(fill);
        let _ = write!(out, " fill=\"{hex}\"{opacity}");
    }
    if stroke.width > 0.0 && stroke.color != Color32::TRANSPARENT {
        let (hex, opacity) = colour(stroke.color);
        let opacity = opacity.replace("fill-", "stroke-");
        let width = n(stroke.width);
        let _ = write!(out, " stroke=\"{hex}\"{opacity} stroke-width=\"{width}\"");
    }
    out.push_str("/>\n");
}

fn colour(ink: Color32) -> (String, String) {
    let [r, g, b, a] = ink.to_srgba_unmultiplied();
    let opacity = if a == 255 {
        String::new()
    } else {
        format!(" fill-opacity=\"{}\"", n(f32::from(a) / 255.0))
    };
    (format!("#{r:02x}{g:02x}{b:02x}"), opacity)
}

/// Hundredths of a point are enough.
fn n(x: f32) -> f32 {
    let rounded = (x * 100.0).round() / 100.0;
    if rounded.is_finite() { rounded } else { 0.0 }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}
