//! The time axis that all lanes share.

use egui::{Align2, CornerRadius, Painter, Rect, Stroke, pos2, vec2};

use crate::kit::theme::{self, Palette};

/// Time to place and back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimeAxis {
    /// Where t = 0 is, points.
    pub left: f32,
    /// Where the run ends, points.
    pub right: f32,
    /// Length of the run, s.
    pub duration_s: f64,
}

impl TimeAxis {
    /// Place of a time.
    pub fn x_at(&self, time_s: f64) -> f32 {
        let share = if self.duration_s > 0.0 {
            time_s / self.duration_s
        } else {
            0.0
        };
        self.left + (self.right - self.left) * share as f32
    }

    /// Time of a place, within the run.
    pub fn time_at(&self, x: f32) -> f64 {
        let share = f64::from((x - self.left) / (self.right - self.left).max(1.0));
        share.clamp(0.0, 1.0) * self.duration_s
    }

    /// How much time a point on the axis is, s.
    pub fn s_per_point(&self) -> f64 {
        self.duration_s / f64::from((self.right - self.left).max(1.0))
    }

    /// Distance of ticks so that labels have room, s.
    fn tick_s(&self) -> f64 {
        let least = 64.0 / f64::from((self.right - self.left).max(1.0)) * self.duration_s;
        [1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0]
            .into_iter()
            .find(|&step| step >= least)
            .unwrap_or(1200.0)
    }
}

/// "1:23.4", minutes and seconds with one decimal.
pub fn clock(time_s: f64) -> String {
    let tenths = (time_s * 10.0).round() as u64;
    format!("{}:{:02}.{}", tenths / 600, tenths / 10 % 60, tenths % 10)
}

/// Draws ticks with their times.
pub fn ticks(painter: &Painter, axis: &TimeAxis, foot: Rect, cursor: f32, palette: &Palette) {
    let step = axis.tick_s();
    for i in 0..=(axis.duration_s / step) as u32 {
        let time_s = f64::from(i) * step;
        let x = axis.x_at(time_s).round();
        painter.vline(
            x,
            foot.top()..=foot.top() + 4.0,
            Stroke::new(1.0, palette.faint),
        );
        if (x - cursor).abs() < 48.0 {
            continue; // The cursor's own time stands there.
        }
        let whole = time_s.round() as u64;
        let text = format!("{}:{:02}", whole / 60, whole % 60);
        let at = pos2(x, foot.top() + 5.0);
        painter.text(at, Align2::CENTER_TOP, text, theme::small(), palette.weak);
    }
}

/// Draws the cursor's time on the axis.
pub fn flag(painter: &Painter, x: f32, foot: Rect, all: Rect, time_s: f64, palette: &Palette) {
    let galley = painter.layout_no_wrap(clock(time_s), theme::small_strong(), palette.panel);
    let size = vec2(galley.size().x + 12.0, 18.0);
    let left = (x - size.x / 2.0).clamp(all.left() + 4.0, all.right() - size.x - 4.0);
    let rect = Rect::from_min_size(pos2(left.round(), foot.top() + 2.0), size);
    painter.rect_filled(rect, CornerRadius::same(4), palette.text);
    painter.galley(rect.center() - galley.size() / 2.0, galley, palette.panel);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_to_place_and_back() {
        let axis = TimeAxis {
            left: 100.0,
            right: 500.0,
            duration_s: 80.0,
        };
        assert!((axis.x_at(20.0) - 200.0).abs() < 1e-3);
        assert!((axis.time_at(200.0) - 20.0).abs() < 1e-6);
        assert!((axis.s_per_point() - 0.2).abs() < 1e-12);
        assert!(axis.time_at(0.0).abs() < 1e-9);
        assert!((axis.time_at(900.0) - 80.0).abs() < 1e-9);
    }

    #[test]
    fn clock_rounds_to_tenths() {
        assert_eq!(clock(83.44), "1:23.4");
        assert_eq!(clock(59.96), "1:00.0");
        assert_eq!(clock(0.0), "0:00.0");
    }
}
