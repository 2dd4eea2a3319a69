//! What happened, written where it happened: turned back, into another canal, out; and the time to spare of holds.

use egui::{Align2, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};
use lithodrome_labyrinth::{Canal, Ear};

use super::Lane;
use crate::{kit::theme, work::stage_data::Loaded};
use lithodrome_rehearsal::{Happening, HappeningKind};

/// Marks what the pieces that started in this canal did; `y` places millimetres. The words keep off what is
/// `taken` and off the curves.
pub fn happenings(
    painter: &Painter,
    lane: &Lane,
    loaded: &Loaded,
    home: (Ear, Canal),
    y: impl Fn(f32) -> f32,
    (mut taken, curves): (Vec<Rect>, &[Vec<Pos2>]),
) {
    let of_home = |h: &&Happening| {
        let track = &loaded.run.tracks[h.piece];
        (track.ear, track.canal) == home
    };
    let place_of = |h: &Happening| pos2(lane.axis.x_at(h.time_s), y(h.course_mm));
    let all = || loaded.happenings.iter().filter(of_home);
    taken.extend(all().map(|h| Rect::from_center_size(place_of(h), vec2(9.0, 9.0))));
    for now in all() {
        let at = place_of(now);
        mark(painter, lane, at, now.what);
        let mut words = now.what.words().to_owned();
        if now.pieces > 1 {
            words = format!("{words} ({})", now.pieces);
        }
        let ink = lane.palette.text;
        let galley = painter.layout_no_wrap(words, theme::small(), ink);
        let inside = lane.rect.expand(2.0);
        let Some(place) = free_place(at, galley.size(), inside, &taken, curves) else {
            continue;
        };
        let ground = lane.palette.score.gamma_multiply(0.8);
        painter.rect_filled(place.expand2(vec2(2.0, 0.0)), 2.0, ground);
        let near = place.expand2(vec2(2.0, -3.0)).clamp(at);
        if near.distance(at) > 12.0 {
            let from = at + (near - at).normalized() * 7.0;
            painter.line_segment([from, near], Stroke::new(1.0, lane.palette.weak));
        }
        painter.galley(place.min, galley, ink);
        taken.push(place);
    }
}

/// Where words of this size stand beside a mark: as near as they can inside without covering another word or
/// a curve; a curve only if it must be. Nowhere, if they would cover another word.
fn free_place(
    at: Pos2,
    size: Vec2,
    inside: Rect,
    taken: &[Rect],
    curves: &[Vec<Pos2>],
) -> Option<Rect> {
    // Heights of the words' upper edge over the mark, the nearest first; at each, right and left of it.
    let tries = [
        -16.0, 2.0, -27.0, 13.0, -38.0, 24.0, -50.0, 36.0, 48.0, 60.0,
    ];
    let aside = [8.0, -8.0 - size.x];
    let free: Vec<Rect> = tries
        .into_iter()
        .flat_map(|up| aside.map(|right| Rect::from_min_size(at + vec2(right, up), size)))
        .filter(|r| inside.contains_rect(*r) && !taken.iter().any(|t| t.intersects(*r)))
        .collect();
    let off_curves = |r: &&Rect| {
        !curves
            .iter()
            .any(|line| crosses(line, r.shrink2(vec2(0.0, 1.0))))
    };
    free.iter().find(off_curves).or(free.first()).copied()
}

/// A line of points, whose x never falls, passes through a place.
fn crosses(line: &[Pos2], place: Rect) -> bool {
    line.windows(2).any(|ends| {
        let [a, b] = [ends[0], ends[1]];
        if b.x < place.left() || a.x > place.right() {
            return false;
        }
        let y_at = |x: f32| {
            let share = if b.x > a.x {
                (x - a.x) / (b.x - a.x)
            } else {
                1.0
            };
            a.y + (b.y - a.y) * share.clamp(0.0, 1.0)
        };
        let (mut low, mut high) = (y_at(place.left()), y_at(place.right()));
        if b.x <= a.x {
            (low, high) = (a.y, b.y);
        }
        low.min(high) <= place.bottom() && low.max(high) >= place.top()
    })
}

/// A shape for each kind: back, across, out.
fn mark(painter: &Painter, lane: &Lane, at: Pos2, what: HappeningKind) {
    let palette = &lane.palette;
    let stroke = Stroke::new(1.5, palette.text);
    let shape = |points: [(f32, f32); 3]| points.map(|(x, y)| at + vec2(x, y)).to_vec();
    match what {
        HappeningKind::TurnedBack => {
            let down = shape([(-4.5, -3.5), (4.5, -3.5), (0.0, 4.5)]);
            painter.add(Shape::convex_polygon(down, palette.score, stroke));
        }
        HappeningKind::EnteredOther(canal) => {
            let [(x0, y0), (x1, y1)] = [(0.0, -5.0), (5.0, 0.0)];
            let diamond = [(x0, y0), (x1, y1), (-x0, -y0), (-x1, -y1)];
            let points = diamond.map(|(x, y)| at + vec2(x, y)).to_vec();
            let fill = theme::canal_colour(canal);
            painter.add(Shape::convex_polygon(points, fill, stroke));
        }
        HappeningKind::Left => {
            let up = shape([(-4.5, 3.5), (0.0, -4.5), (4.5, 3.5)]);
            painter.add(Shape::convex_polygon(up, palette.text, stroke));
        }
    }
}

/// Writes at the end of each hold how long all debris had rested, at the foot of a lane or, off the curves, at its
/// head; returns where.
pub fn spare(painter: &Painter, lane: &Lane, loaded: &Loaded, curves: &[Vec<Pos2>]) -> Vec<Rect> {
    let mut written = Vec::new();
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
                let right = lane.axis.x_at(times.end_s) - 6.0;
                let foot = pos2(right, lane.rect.bottom() + 3.0);
                let foot = Align2::RIGHT_BOTTOM.anchor_size(foot, galley.size());
                let head = pos2(right, lane.rect.top());
                let head = Align2::RIGHT_TOP.anchor_size(head, galley.size());
                let off_curves = |r: &Rect| !curves.iter().any(|line| crosses(line, *r));
                let place = [foot, head].into_iter().find(off_curves).unwrap_or(foot);
                let ground = lane.palette.score.gamma_multiply(0.7);
                painter.rect_filled(place, 2.0, ground);
                painter.galley(place.min, galley, ink);
                written.push(place);
                break;
            }
        }
    }
    written
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

#[cfg(test)]
mod tests {
    use super::*;

    const SIZE: Vec2 = vec2(60.0, 14.0);
    const INSIDE: Rect = Rect {
        min: pos2(0.0, 0.0),
        max: pos2(400.0, 60.0),
    };

    #[test]
    fn words_stand_beside_their_mark_off_the_curve_and_off_other_words() {
        let at = pos2(200.0, 20.0);
        let above = free_place(at, SIZE, INSIDE, &[], &[]).unwrap();
        assert_eq!(above.min, pos2(208.0, 4.0), "up and to the right first");
        // A curve that goes on to the right above the mark, and comes from the left a little below it.
        let curve = [(0.0, 40.0), (100.0, 26.0), (200.0, 20.0), (400.0, 8.0)];
        let curve = curve.map(|(x, y)| pos2(x, y)).to_vec();
        let curves = [curve];
        let off = free_place(at, SIZE, INSIDE, &[], &curves).unwrap();
        assert!(!crosses(&curves[0], off), "{off:?}");
        let next = free_place(at, SIZE, INSIDE, &[off], &curves).unwrap();
        assert!(!next.intersects(off) && !crosses(&curves[0], next));
        assert_eq!(free_place(at, SIZE, INSIDE, &[INSIDE], &curves), None);
    }

    #[test]
    fn a_curve_crosses_where_it_passes_and_not_where_it_goes_round() {
        let place = Rect::from_min_size(pos2(10.0, 10.0), vec2(10.0, 10.0));
        let line =
            |points: &[(f32, f32)]| points.iter().map(|&(x, y)| pos2(x, y)).collect::<Vec<_>>();
        assert!(crosses(&line(&[(0.0, 0.0), (30.0, 30.0)]), place));
        assert!(
            crosses(&line(&[(15.0, 0.0), (15.0, 40.0)]), place),
            "a jump"
        );
        assert!(!crosses(&line(&[(0.0, 0.0), (30.0, 4.0)]), place));
        assert!(!crosses(&line(&[(0.0, 15.0), (9.0, 15.0)]), place));
    }
}
