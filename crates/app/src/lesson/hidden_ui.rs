//! What must not be seen yet: hatched, with a word.

use egui::{Align2, Painter, Rect, Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2};

use crate::kit::theme::{self, Palette};

/// In place of what lies hidden.
pub const HIDDEN: &str = "Hidden until you name it";

/// Distance of the hatches, points.
const APART: f32 = 14.0;

/// Hatches a place and writes a word into its middle.
pub fn hatched(painter: &Painter, rect: Rect, words: &str, palette: &Palette) {
    let painter = painter.with_clip_rect(rect);
    let line = Stroke::new(1.0, palette.hairline);
    let mut x = rect.left() - rect.height();
    while x < rect.right() {
        let ends = [pos2(x, rect.bottom()), pos2(x + rect.height(), rect.top())];
        painter.add(Shape::line_segment(ends, line));
        x += APART;
    }
    let galley = painter.layout_no_wrap(words.to_owned(), theme::body(), palette.text);
    let place = Align2::CENTER_CENTER.anchor_size(rect.center(), galley.size());
    painter.rect_filled(place.expand(6.0), 3.0, palette.panel);
    painter.galley(place.min, galley, palette.text);
}

/// A whole stage that is hidden.
pub fn hidden_stage_ui(ui: &mut Ui) -> Rect {
    let palette = Palette::of(ui);
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::hover());
    response.widget_info(|| {
        WidgetInfo::labeled(Role::Image, true, "Ear stage: hidden until you name it")
    });
    ui.painter().rect_filled(rect, 0.0, palette.stage);
    hatched(ui.painter(), rect, HIDDEN, &palette);
    rect
}
