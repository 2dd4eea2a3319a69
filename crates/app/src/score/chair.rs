//! Yaw and track over time.

use egui::{Align2, Painter, Shape, Stroke, pos2};

use super::{Lane, curve, kept::kept};
use crate::{kit::theme, stages::ghost, work::stage_data::Loaded};

/// Least distance between two labels of angles, points.
const LABELS_APART: f32 = 14.0;

/// Draws both angles on one scale, those of a plan behind them.
pub fn draw(painter: &Painter, lane: &Lane, loaded: &Loaded, plan: Option<&Loaded>) {
    let palette = &lane.palette;
    lane.name(painter, "Chair");
    let columns = [&loaded.chair.yaw_rad, &loaded.chair.track_rad];
    let [mut low, mut high] = *kept(painter, lane, loaded, "chair's range", || range_deg(loaded));
    if let Some(plan) = plan {
        let [a, b] = *kept(painter, lane, plan, "plan's range", || range_deg(plan));
        (low, high) = (low.min(a), high.max(b));
    }
    let span = (high - low) as f32;
    let (top, bottom) = (lane.rect.top() + 4.0, lane.rect.bottom() - 4.0);
    let y = |deg: f32| bottom - (bottom - top) * (deg - low as f32) / span;
    let step = apart_deg((bottom - top) / span);
    for deg in ((low as i32).div_euclid(step)..=(high as i32).div_euclid(step)).map(|k| k * step) {
        let at = y(deg as f32);
        if at >= top - 1.0 && at <= bottom + 1.0 {
            painter.hline(lane.rect.x_range(), at, palette.hair());
            lane.label(painter, at, &format!("{deg}°"), palette.weak);
        }
    }
    if let Some(plan) = plan {
        ghost::in_lane(painter, lane, plan, y);
    }
    let at = loaded.between(lane.time_s);
    let strokes = [
        Stroke::new(1.75, palette.text),
        Stroke::new(1.75, palette.faint),
    ];
    let mut labels: Vec<(f32, String, Stroke)> = Vec::new();
    for ((column, stroke), name) in columns.iter().zip(strokes).zip(["yaw", "track"]) {
        let value = |i: usize| column[i].to_degrees() as f32;
        let lines = kept(painter, lane, loaded, name, || {
            curve::polylines(&lane.axis, &loaded.run.time_s, value, y)
        });
        painter.extend(lines.iter().map(|l| Shape::line(l.clone(), stroke)));
        let now = at.of(column).to_degrees();
        painter.circle_filled(
            pos2(lane.axis.x_at(lane.time_s), y(now as f32)),
            3.0,
            stroke.color,
        );
        labels.push((y(now as f32), format!("{name} {}", degrees(now)), stroke));
    }
    let middle = lane.rect.center().y;
    for (i, (_, text, stroke)) in labels.iter().enumerate() {
        let row = middle + if i == 0 { -9.0 } else { 9.0 };
        let at = pos2(lane.all.right() - 12.0, row);
        let ink = if i == 0 { palette.text } else { palette.weak };
        painter.text(at, Align2::RIGHT_CENTER, text, theme::small(), ink);
        let key = lane.rect.right() + 6.0;
        painter.hline(key..=key + 10.0, row, *stroke);
    }
}

/// The least and the greatest angle, and at least 0 to 90, degrees.
fn range_deg(loaded: &Loaded) -> [f64; 2] {
    let columns = [&loaded.chair.yaw_rad, &loaded.chair.track_rad];
    let all = columns.iter().flat_map(|c| c.iter());
    let widen = |[low, high]: [f64; 2], a: &f64| {
        let deg = a.to_degrees();
        [low.min(deg), high.max(deg)]
    };
    all.fold([0.0, 90.0], widen)
}

/// From one labelled angle to the next, degrees: as close as their labels stay apart.
fn apart_deg(points_per_deg: f32) -> i32 {
    let fits = |step: &i32| *step as f32 * points_per_deg >= LABELS_APART;
    [90, 180, 360, 720].into_iter().find(fits).unwrap_or(1440)
}

/// "−45°", with a true minus sign.
pub fn degrees(deg: f64) -> String {
    let whole = deg.round() as i64;
    if whole < 0 {
        format!("−{}°", -whole)
    } else {
        format!("{whole}°")
    }
}

#[cfg(test)]
mod tests {
    use super::{apart_deg, degrees};

    #[test]
    fn whole_degrees_with_a_true_minus() {
        assert_eq!(degrees(-44.6), "−45°");
        assert_eq!(apart_deg(0.2), 90);
        assert_eq!(apart_deg(0.1), 180);
        assert_eq!(apart_deg(0.03), 720);
        assert_eq!(degrees(-0.2), "0°");
    }
}
