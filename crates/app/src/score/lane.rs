//! Where one lane of the score is drawn, and its words to the left and the right.

use egui::{Align2, Color32, Painter, Rect, pos2};

use super::axis::TimeAxis;
use crate::kit::theme::{self, Palette};

/// Where one lane is drawn.
#[derive(Clone, Copy, Debug)]
pub struct Lane {
    /// The shared time axis.
    pub axis: TimeAxis,
    /// The whole score.
    pub all: Rect,
    /// The lane between labels and values.
    pub rect: Rect,
    /// Colours.
    pub palette: Palette,
    /// The cursor, s.
    pub time_s: f64,
}

impl Lane {
    /// Writes a label to the left of the lane, right-aligned, at a height.
    pub fn label(&self, painter: &Painter, y: f32, text: &str, ink: Color32) {
        let at = pos2(self.rect.left() - 8.0, y);
        painter.text(at, Align2::RIGHT_CENTER, text, theme::small(), ink);
    }

    /// Writes the lane's name in the upper left corner of the score.
    pub fn name(&self, painter: &Painter, text: &str) {
        let at = pos2(self.all.left() + 12.0, self.rect.top() + 1.0);
        painter.text(
            at,
            Align2::LEFT_TOP,
            text,
            theme::small_strong(),
            self.palette.weak,
        );
    }

    /// Writes a value to the right of the lane, right-aligned, at a height.
    pub fn value(&self, painter: &Painter, y: f32, text: &str, ink: Color32) {
        let at = pos2(self.all.right() - 12.0, y);
        painter.text(at, Align2::RIGHT_CENTER, text, theme::small(), ink);
    }
}
