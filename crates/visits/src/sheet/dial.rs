//! Yaw and track as marks on a dial, with the way from the step before.

use super::font::Type;
use super::mark::{Ink, Page};

/// Which axis a dial shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Axis {
    /// Seen from above: the patient looks up the page at 0, and turns to his left counter-wise.
    Yaw,
    /// Seen along the track's axis, as the pictogram is.
    Track,
}

impl Axis {
    fn name(self) -> &'static str {
        match self {
            Axis::Yaw => "yaw",
            Axis::Track => "track",
        }
    }
}

/// Height of a dial with its words, in radii.
pub(super) const HEIGHT_RADII: f64 = 4.3;

/// Draws a dial with the middle of its upper edge at a place; angles in degrees.
pub(super) fn draw(
    page: &mut Page,
    axis: Axis,
    [from, to]: [f64; 2],
    [x, top]: [f64; 2],
    radius: f64,
) {
    let room = 2.6 * radius;
    page.text_around(
        [x, top + 0.45 * radius],
        Type::regular(8.5),
        axis.name(),
        room,
    );
    let centre = [x, top + 1.75 * radius];
    page.circle(centre, radius, 0.8, Ink::Black);
    for k in 0..8 {
        let deg = 45.0 * f64::from(k);
        let inner = if k % 2 == 0 { 0.78 } else { 0.88 };
        let ends = vec![at(centre, radius, deg), at(centre, inner * radius, deg)];
        page.line(ends, 0.6, Ink::Grey);
    }
    let moved = (to - from).abs() > 0.5;
    if moved {
        way(page, centre, 0.62 * radius, from, to);
    }
    page.line(vec![centre, at(centre, radius, to)], 2.2, Ink::Black);
    page.disc(centre, 1.8, Ink::Black);
    let y = centre[1] + radius;
    page.text_around([x, y + 12.5], Type::bold(12.0), &degrees(to), room);
    let turn = if moved {
        format!("by {}", signed(to - from))
    } else {
        "stays".to_owned()
    };
    page.text_around([x, y + 22.5], Type::regular(8.5), &turn, room);
}

/// Height of a small dial with its words, in radii.
pub(super) const SMALL_HEIGHT_RADII: f64 = 4.4;

/// Draws a small dial, its name above, its angle below; the middle of its upper edge is at a place.
pub(super) fn draw_small(
    page: &mut Page,
    axis: Axis,
    [from, to]: [f64; 2],
    [x, top]: [f64; 2],
    radius: f64,
) {
    let room = 3.6 * radius;
    page.text_around([x, top + 6.5], Type::regular(7.0), axis.name(), room);
    let centre = [x, top + 9.0 + radius];
    page.circle(centre, radius, 0.8, Ink::Black);
    if (to - from).abs() > 0.5 {
        way(page, centre, 0.58 * radius, from, to);
    }
    page.line(vec![centre, at(centre, radius, to)], 1.8, Ink::Black);
    page.disc(centre, 1.3, Ink::Black);
    let y = centre[1] + radius;
    page.text_around([x, y + 9.5], Type::bold(9.0), &degrees(to), room);
}

/// The way of the move with an arrow head; more than a turn is a whole circle.
fn way(page: &mut Page, centre: [f64; 2], radius: f64, from: f64, to: f64) {
    let span = (to - from).clamp(-352.0, 352.0);
    let n = (span.abs() / 6.0).ceil().max(2.0) as usize;
    let along = |share: f64| at(centre, radius, to - span * (1.0 - share));
    let points = (0..=n).map(|i| along(i as f64 / n as f64)).collect();
    page.line(points, 1.1, Ink::Black);
    let tip = along(1.0);
    let back = (11.0_f64).min(0.9 * span.abs()) * span.signum();
    for off in [-0.16, 0.16] {
        let tail = at(centre, radius * (1.0 + off), to - back);
        page.line(vec![tail, tip], 1.1, Ink::Black);
    }
}

/// A place on a circle: 0° up the page, positive angles counter-wise.
fn at([x, y]: [f64; 2], radius: f64, deg: f64) -> [f64; 2] {
    let (sin, cos) = deg.to_radians().sin_cos();
    [x - radius * sin, y - radius * cos]
}

/// Whole degrees with a minus that is one.
fn degrees(deg: f64) -> String {
    // The sum makes a 0 of a −0.
    let whole = deg.round() + 0.0;
    if whole < 0.0 {
        format!("\u{2212}{:.0}°", -whole)
    } else {
        format!("{whole:.0}°")
    }
}

fn signed(deg: f64) -> String {
    if deg.round() > 0.0 {
        format!("+{deg:.0}°")
    } else {
        degrees(deg)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dials_turn_as_the_chair_does() {
        let close = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-9;
        assert!(close(at([0.0, 0.0], 1.0, 0.0), [0.0, -1.0]));
        // A quarter turn to the left, seen from above.
        assert!(close(at([0.0, 0.0], 1.0, 90.0), [-1.0, 0.0]));
        assert_eq!(degrees(-90.2), "\u{2212}90°");
        assert_eq!((signed(90.0), degrees(-0.2)), ("+90°".into(), "0°".into()));
    }
}
