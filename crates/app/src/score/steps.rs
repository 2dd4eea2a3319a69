//! The band of steps: moves hatched, holds plain, names inside.

use egui::{Color32, CornerRadius, Painter, Pos2, Rect, Stroke, pos2, vec2};

use super::Lane;
use crate::{
    kit::theme,
    session::command::{Command, EditCommand},
    session::draft::Draft,
    work::stage_data::Loaded,
};

/// Draws the band.
pub fn band(painter: &Painter, lane: &Lane, loaded: &Loaded) {
    let palette = &lane.palette;
    lane.name(painter, "Steps");
    let current = loaded.step_at(lane.time_s).map(|(i, _)| i);
    let pointer = painter.ctx().pointer_hover_pos();
    let pointed = pointer
        .filter(|at| lane.rect.contains(*at))
        .and_then(|at| loaded.step_at(lane.axis.time_at(at.x)))
        .map(|(i, _)| i);
    // A name that is cut stands in full over its neighbours while its step is under the pointer, and only then: it
    // would hide their names.
    let mut in_full: Option<(usize, Rect)> = None;
    for (i, (times, step)) in loaded
        .step_times
        .iter()
        .zip(&loaded.scenario.steps)
        .enumerate()
    {
        let [start, hold, end] =
            [times.start_s, times.hold_from_s, times.end_s].map(|t| lane.axis.x_at(t).round());
        let span = |from: f32, to: f32| {
            Rect::from_min_max(pos2(from, lane.rect.top()), pos2(to, lane.rect.bottom()))
        };
        let on = current == Some(i);
        let fill = if on {
            palette.block_strong
        } else {
            palette.block
        };
        let whole = span(start + 1.0, end - 1.0);
        painter.rect_filled(whole, CornerRadius::same(3), fill);
        if loaded.turns_in(i) {
            let moves = span(start + 1.0, hold.max(start + 2.0));
            hatch(painter, moves, palette.faint);
        }
        let room = span(hold + 8.0, end - 4.0);
        let ink = if on { palette.text } else { palette.weak };
        let font = if on {
            theme::small_strong()
        } else {
            theme::small()
        };
        let full = painter.layout_no_wrap(step.name.clone(), font.clone(), ink);
        let galley = if full.size().x <= room.width() {
            full
        } else {
            let short = shortened(&step.name, room.width(), |text| {
                painter
                    .layout_no_wrap(text.to_owned(), font.clone(), ink)
                    .size()
                    .x
            });
            let short = if short.is_empty() {
                (i + 1).to_string()
            } else {
                short
            };
            if pointed == Some(i) {
                in_full = Some((i, whole));
            }
            painter.layout_no_wrap(short, font, ink)
        };
        let at = pos2(room.left(), room.center().y - galley.size().y / 2.0);
        painter.with_clip_rect(whole).galley(at, galley, ink);
        let broken = loaded.breaches.iter().any(|b| b.step == i);
        if broken || loaded.short_hold(i).is_some() {
            let corner = pos2(end - 8.0, lane.rect.top() + 7.0);
            warning(painter, corner, palette.text, palette.score);
        }
    }
    if let Some((i, own)) = in_full {
        let name = loaded.scenario.steps.get(i).map_or("", |s| s.name.as_str());
        name_in_full(painter, lane, &format!("{}  {name}", i + 1), own);
    }
}

/// A click on a step chooses it, as one in the table does: keys act on the one that was clicked last, wherever.
/// Nothing is chosen while the band shows an older draft.
pub fn choose(lane: &Lane, loaded: &Loaded, draft: &Draft, pointer: Pos2) -> Option<Command> {
    let same = draft.scenario().steps == loaded.scenario.steps;
    let here = lane.rect.contains(pointer) && same;
    let (i, _) = loaded
        .step_at(lane.axis.time_at(pointer.x))
        .filter(|_| here)?;
    (i < draft.scenario().steps.len()).then_some(Command::Edit(EditCommand::ChooseStep(i)))
}

/// A name over the band, about its own step and within the lane.
fn name_in_full(painter: &Painter, lane: &Lane, name: &str, own: Rect) {
    let palette = &lane.palette;
    let galley = painter.layout_no_wrap(name.to_owned(), theme::small_strong(), palette.text);
    let size = galley.size() + vec2(12.0, 4.0);
    let most = (lane.rect.right() - size.x).max(lane.rect.left());
    let left = (own.center().x - size.x / 2.0).clamp(lane.rect.left(), most);
    let place = Rect::from_min_size(pos2(left, lane.rect.center().y - size.y / 2.0), size);
    painter.rect_filled(place, CornerRadius::same(3), palette.block_strong);
    let edge = Stroke::new(1.0, palette.weak);
    painter.rect_stroke(place, CornerRadius::same(3), edge, egui::StrokeKind::Inside);
    painter.galley(place.min + vec2(6.0, 2.0), galley, palette.text);
}

/// A small triangle with a bar: a limit is broken or the hold is too short here.
fn warning(painter: &Painter, at: Pos2, ink: Color32, ground: Color32) {
    let corners = [(0.0, -5.0), (5.5, 4.5), (-5.5, 4.5)].map(|(x, y)| at + vec2(x, y));
    painter.add(egui::Shape::convex_polygon(
        corners.to_vec(),
        ground,
        Stroke::new(1.25, ink),
    ));
    painter.vline(at.x, at.y - 1.5..=at.y + 2.5, Stroke::new(1.25, ink));
}

/// The longest beginning of a name that fits, with "…"; a lone number if nothing fits.
fn shortened(name: &str, width: f32, measure: impl Fn(&str) -> f32) -> String {
    let mut letters: Vec<char> = name.chars().collect();
    while letters.len() > 3 {
        letters.pop();
        let text: String = letters.iter().collect::<String>().trim_end().to_owned() + "…";
        if measure(&text) <= width {
            return text;
        }
    }
    String::new()
}

/// Shades the time of moves in the lanes, where the eyes tell nothing.
pub fn moves(painter: &Painter, lanes: &[&Lane], loaded: &Loaded) {
    for lane in lanes {
        let shade = lane.palette.block.gamma_multiply(0.55);
        for (i, times) in loaded.step_times.iter().enumerate() {
            if !loaded.turns_in(i) {
                continue;
            }
            let (from, to) = (
                lane.axis.x_at(times.start_s),
                lane.axis.x_at(times.hold_from_s),
            );
            let rect = Rect::from_x_y_ranges(from..=to, lane.rect.y_range());
            painter.rect_filled(rect, CornerRadius::ZERO, shade);
        }
    }
}

/// Slanting lines across a rectangle.
fn hatch(painter: &Painter, rect: Rect, ink: Color32) {
    let painter = painter.with_clip_rect(rect);
    let mut x = rect.left() - rect.height();
    while x < rect.right() {
        let from = pos2(x, rect.bottom());
        painter.line_segment(
            [from, from + vec2(rect.height(), -rect.height())],
            Stroke::new(1.0, ink),
        );
        x += 6.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_names_are_cut_to_fit() {
        let measure = |text: &str| text.chars().count() as f32;
        assert_eq!(shortened("Turn to the left", 8.0, measure), "Turn to…");
        assert_eq!(shortened("Turn to the left", 2.0, measure), "");
    }
}
