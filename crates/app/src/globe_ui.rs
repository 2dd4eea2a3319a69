//! The gravity globe: which way is down in the head, as a point on a small sphere.

use egui::{Align2, Painter, Pos2, Rect, Role, Sense, Stroke, Ui, WidgetInfo, vec2};
use lithodrome_labyrinth::Vec3;

use crate::{
    stage_data::Loaded,
    theme::{self, Palette},
};

const RADIUS: f32 = 44.0;
/// Samples of the path drawn at most.
const PATH_POINTS: usize = 600;

/// Draws the globe into the lower right corner of a stage.
pub fn globe(ui: &mut Ui, stage: Rect, loaded: &Loaded, time_s: f64, palette: &Palette) {
    let centre = stage.right_bottom() - vec2(RADIUS + 40.0, RADIUS + 32.0);
    let area = Rect::from_center_size(centre, vec2(2.0 * RADIUS, 2.0 * RADIUS));
    let now = loaded.between(time_s).of_vectors(&loaded.run.down_in_head);
    let response = ui.interact(area, ui.scope_id().with("globe"), Sense::hover());
    let words = format!("Gravity globe: down is {}", toward(now));
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &words));
    let painter = ui.painter_at(stage);
    painter.circle(
        centre,
        RADIUS,
        palette.stage.gamma_multiply(0.85),
        Stroke::new(1.0, palette.faint),
    );
    circles(&painter, centre, palette);
    for (text, axis) in [
        ("nose", Vec3::x()),
        ("top", Vec3::z()),
        ("left", Vec3::y()),
        ("right", -Vec3::y()),
    ] {
        let (at, front) = project(centre, axis * 1.26);
        let ink = if front { palette.weak } else { palette.faint };
        painter.text(at, Align2::CENTER_CENTER, text, theme::small(), ink);
    }
    path(&painter, centre, loaded, palette);
    let (at, front) = project(centre, now);
    painter.line_segment(
        [centre, at],
        Stroke::new(1.5, palette.gravity.gamma_multiply(0.7)),
    );
    if front {
        painter.circle(at, 5.0, palette.gravity, Stroke::new(1.0, palette.stage));
    } else {
        painter.circle(at, 5.0, palette.stage, Stroke::new(2.0, palette.gravity));
    }
    response.on_hover_text(format!(
        "{words}.\nThe line is the path of gravity over the whole run; a filled point is on the near side."
    ));
}

/// Seen from in front, a little from the right and from above; true if on the near side.
fn project(centre: Pos2, v: Vec3) -> (Pos2, bool) {
    let (turn, tilt) = (-0.55f64, 0.32f64);
    // Eye towards (cos turn, sin turn) in x and y, lifted by the tilt.
    let right = -v.x * turn.sin() + v.y * turn.cos();
    let near = v.x * turn.cos() + v.y * turn.sin();
    let up = v.z * tilt.cos() - near * tilt.sin();
    let depth = near * tilt.cos() + v.z * tilt.sin();
    (
        centre + vec2(right as f32, -up as f32) * RADIUS,
        depth >= 0.0,
    )
}

fn circles(painter: &Painter, centre: Pos2, palette: &Palette) {
    let pairs = [
        (Vec3::x(), Vec3::y()),
        (Vec3::x(), Vec3::z()),
        (Vec3::y(), Vec3::z()),
    ];
    for (a, b) in pairs {
        let mut before: Option<(Pos2, bool)> = None;
        for i in 0..=72 {
            let angle = std::f64::consts::TAU * f64::from(i) / 72.0;
            let now = project(centre, a * angle.cos() + b * angle.sin());
            if let Some((from, true)) = before.filter(|_| now.1) {
                painter.line_segment([from, now.0], palette.hair());
            }
            before = Some(now);
        }
    }
}

fn path(painter: &Painter, centre: Pos2, loaded: &Loaded, palette: &Palette) {
    let column = &loaded.run.down_in_head;
    let stride = (column.len() / PATH_POINTS).max(1);
    let mut before: Option<(Pos2, bool)> = None;
    for now in column.iter().step_by(stride).map(|&v| project(centre, v)) {
        if let Some((from, near)) = before
            && from.distance(now.0) > 0.3
        {
            let share = if near && now.1 { 0.9 } else { 0.35 };
            let ink = palette.gravity.gamma_multiply(share);
            painter.line_segment([from, now.0], Stroke::new(1.25, ink));
        } else if before.is_some() {
            continue;
        }
        before = Some(now);
    }
}

/// The nearest of the six directions of the head, in words.
fn toward(v: Vec3) -> &'static str {
    let axes = [
        (v.x, "toward the nose"),
        (-v.x, "toward the back of the head"),
        (v.y, "toward the left ear"),
        (-v.y, "toward the right ear"),
        (v.z, "toward the top of the head"),
        (-v.z, "toward the feet"),
    ];
    axes.into_iter()
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map_or("unknown", |(_, words)| words)
}

#[cfg(test)]
mod tests {
    use egui::pos2;

    use super::*;

    #[test]
    fn words_for_down() {
        assert_eq!(toward(Vec3::new(0.1, 0.2, -0.9)), "toward the feet");
        assert_eq!(toward(Vec3::new(0.1, -0.8, -0.3)), "toward the right ear");
    }

    #[test]
    fn the_nose_is_on_the_near_side() {
        let (_, near) = project(pos2(0.0, 0.0), Vec3::x());
        assert!(near);
        let (_, near) = project(pos2(0.0, 0.0), -Vec3::x());
        assert!(!near);
    }
}
