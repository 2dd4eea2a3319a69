//! What happened, written where it happened: turned back, switched, out; and the time to spare of holds.

use egui::{Align2, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};
use lithodrome_labyrinth::{Canal, Ear};

use super::Lane;
use crate::{
    happenings::{Happening, What},
    stage_data::Loaded,
    theme,
};

/// Marks what the pieces that started in this canal did; `y` places millimetres.
pub fn happenings(
    painter: &Painter,
    lane: &Lane,
    loaded: &Loaded,
    home: (Ear, Canal),
    y: impl Fn(f32) -> f32,
    mut taken: Vec<Rect>,
) {
    let of_home = |h: &&Happening| {
        let track = &loaded.run.tracks[h.piece];
        (track.ear, track.canal) == home
    };
    for now in loaded.happenings.iter().filter(of_home) {
        let at = pos2(lane.axis.x_at(now.time_s), y(now.course_mm));
        mark(painter, lane, at, now.what);
        let mut words = now.what.words().to_owned();
        if now.pieces > 1 {
            words = format!("{words} ({})", now.pieces);
        }
        let ink = lane.palette.text;
        let galley = painter.layout_no_wrap(words, theme::small(), ink);
        let right = Rect::from_min_size(at + vec2(8.0, -16.0), galley.size());
        let left = Rect::from_min_size(at + vec2(-8.0 - galley.size().x, -16.0), galley.size());
        let below = vec2(0.0, 18.0);
        // Beside the mark where it is free and inside; a word that would cover another is left out.
        let place = [right, left, right.translate(below), left.translate(below)]
            .into_iter()
            .find(|r| {
                lane.rect.expand(2.0).contains_rect(*r) && !taken.iter().any(|t| t.intersects(*r))
            });
        if let Some(place) = place {
            let ground = lane.palette.score.gamma_multiply(0.8);
            painter.rect_filled(place.expand2(vec2(2.0, 0.0)), 2.0, ground);
            painter.galley(place.min, galley, ink);
            taken.push(place);
        }
    }
}

/// A shape for each kind: back, across, out.
fn mark(painter: &Painter, lane: &Lane, at: Pos2, what: What) {
    let palette = &lane.palette;
    let stroke = Stroke::new(1.5, palette.text);
    let shape = |points: [(f32, f32); 3]| points.map(|(x, y)| at + vec2(x, y)).to_vec();
    match what {
        What::TurnedBack => {
            let down = shape([(-4.5, -3.5), (4.5, -3.5), (0.0, 4.5)]);
            painter.add(Shape::convex_polygon(down, palette.score, stroke));
        }
        What::Switched(canal) => {
            let [(x0, y0), (x1, y1)] = [(0.0, -5.0), (5.0, 0.0)];
            let diamond = [(x0, y0), (x1, y1), (-x0, -y0), (-x1, -y1)];
            let points = diamond.map(|(x, y)| at + vec2(x, y)).to_vec();
            let fill = theme::canal_colour(canal);
            painter.add(Shape::convex_polygon(points, fill, stroke));
        }
        What::Left => {
            let up = shape([(-4.5, 3.5), (0.0, -4.5), (4.5, 3.5)]);
            painter.add(Shape::convex_polygon(up, palette.text, stroke));
        }
    }
}

/// Writes at the end of each hold how long all debris had rested, at the foot of a lane.
pub fn spare(painter: &Painter, lane: &Lane, loaded: &Loaded) {
    for (times, spare) in loaded.step_times.iter().zip(&loaded.spare_hold_s) {
        let &Some(spare_s) = spare else { continue };
        let room = lane.axis.x_at(times.end_s) - lane.axis.x_at(times.hold_from_s) - 8.0;
        let (long, short) = if spare_s < 0.5 {
            ("still moving".to_owned(), "moving".to_owned())
        } else {
            (
                format!("{spare_s:.0} s to spare"),
                format!("{spare_s:.0} s"),
            )
        };
        for words in [long, short] {
            let ink = lane.palette.weak;
            let galley = painter.layout_no_wrap(words, theme::small(), ink);
            if galley.size().x <= room {
                let at = pos2(lane.axis.x_at(times.end_s) - 6.0, lane.rect.bottom() + 3.0);
                let place = Align2::RIGHT_BOTTOM.anchor_size(at, galley.size());
                let ground = lane.palette.score.gamma_multiply(0.7);
                painter.rect_filled(place, 2.0, ground);
                painter.galley(place.min, galley, ink);
                break;
            }
        }
    }
}

/// A bracket over each time in which nystagmus is seen, at the head of a lane.
pub fn nystagmus(painter: &Painter, lane: &Lane, loaded: &Loaded) {
    for (times, step) in loaded.step_times.iter().zip(&loaded.report.steps) {
        let seen = &step.nystagmus;
        if seen.duration_s <= 0.0 {
            continue;
        }
        let from_s = times.hold_from_s + seen.latency_s;
        let [left, right] = [from_s, from_s + seen.duration_s].map(|t| lane.axis.x_at(t));
        let y = lane.rect.top() - 1.0;
        let stroke = Stroke::new(1.5, lane.palette.text);
        painter.hline(left..=right, y, stroke);
        painter.vline(left, y..=y + 4.0, stroke);
        painter.vline(right, y..=y + 4.0, stroke);
        let words = format!("seen {:.0} s", seen.duration_s);
        let ink = lane.palette.weak;
        let galley = painter.layout_no_wrap(words, theme::small(), ink);
        if galley.size().x + 12.0 < right - left {
            painter.galley(pos2(left + 5.0, y + 1.0), galley, ink);
        }
    }
}
