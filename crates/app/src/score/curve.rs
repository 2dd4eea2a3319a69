//! Columns over time to points on screen, no more of them than can be seen.

use egui::{Pos2, pos2};

use super::axis::TimeAxis;

/// A point is left out where the line passes it within this, points.
const UNSEEN: f32 = 0.1;
/// Samples that share a pixel are one point if they are no farther apart than this, points.
const FLAT: f32 = 1.0;

/// The curve of `value(sample)` over `time_s`, placed by `y`. Where several samples share a pixel,
/// the lowest and the highest are kept, so that no peak is lost; where it runs straight, only the ends.
/// Breaks where a value is no number.
pub fn polylines(
    axis: &TimeAxis,
    time_s: &[f64],
    value: impl Fn(usize) -> f32,
    y: impl Fn(f32) -> f32,
) -> Vec<Vec<Pos2>> {
    let mut lines = Vec::new();
    let mut line: Vec<Pos2> = Vec::new();
    let mut i = 0;
    while i < time_s.len() {
        let first = value(i);
        if !first.is_finite() {
            if line.len() > 1 {
                lines.push(thinned(&line));
            }
            line.clear();
            i += 1;
            continue;
        }
        let pixel = axis.x_at(time_s[i]).floor();
        let (mut low, mut high, mut low_first) = (first, first, true);
        let mut last = first;
        while i < time_s.len() && axis.x_at(time_s[i]).floor() <= pixel {
            let v = value(i);
            if !v.is_finite() {
                break;
            }
            if v < low {
                (low, low_first) = (v, false);
            }
            if v > high {
                (high, low_first) = (v, true);
            }
            last = v;
            i += 1;
        }
        let x = pixel + 0.5;
        let ends = if low_first { [low, high] } else { [high, low] };
        let [a, b] = ends.map(&y);
        let places = if (a - b).abs() <= FLAT {
            [f32::midpoint(a, b); 3]
        } else {
            [a, b, y(last)]
        };
        for place in places {
            let point = pos2(x, place);
            if line.last() != Some(&point) {
                line.push(point);
            }
        }
    }
    if line.len() > 1 {
        lines.push(thinned(&line));
    }
    lines
}

/// The line without the points that it passes anyway: from a point kept, as far as one straight piece
/// stays within [`UNSEEN`] of all that it leaves out.
fn thinned(line: &[Pos2]) -> Vec<Pos2> {
    let mut out: Vec<Pos2> = line.first().copied().into_iter().collect();
    let (Some(mut from), Some(mut last)) = (out.first().copied(), out.first().copied()) else {
        return out;
    };
    let any = (f32::NEG_INFINITY, f32::INFINITY);
    let (mut least, mut most) = any;
    for &point in &line[1..] {
        let slope = |from: Pos2, y: f32| (y - from.y) / (point.x - from.x);
        let straight = point.x > last.x && (least..=most).contains(&slope(from, point.y));
        if !straight && last != from {
            out.push(last);
            (from, (least, most)) = (last, any);
        }
        if point.x > from.x {
            least = least.max(slope(from, point.y - UNSEEN));
            most = most.min(slope(from, point.y + UNSEEN));
        } else {
            out.push(point);
            from = point;
        }
        last = point;
    }
    if last != from {
        out.push(last);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lone_peak_survives_and_points_are_few() {
        let axis = TimeAxis {
            left: 0.0,
            right: 100.0,
            duration_s: 100.0,
        };
        let time_s: Vec<f64> = (0..=20_000).map(|i| f64::from(i) * 0.005).collect();
        let lines = polylines(
            &axis,
            &time_s,
            |i| if i == 7_777 { 5.0 } else { 0.0 },
            |v| v,
        );
        assert_eq!(lines.len(), 1);
        assert!(lines[0].len() < 10, "{}", lines[0].len());
        assert!(lines[0].iter().any(|p| (p.y - 5.0).abs() < 1e-6));
    }

    /// Distance of a point from a straight piece, by hand: along y, as x grows along the line.
    fn off(piece: &[Pos2], p: Pos2) -> f32 {
        let share = (p.x - piece[0].x) / (piece[1].x - piece[0].x);
        (p.y - (piece[0].y + (piece[1].y - piece[0].y) * share)).abs()
    }

    #[test]
    fn a_thinned_line_passes_all_that_it_leaves_out() {
        let line: Vec<Pos2> = (0..1000u16)
            .map(f32::from)
            .map(|x| pos2(x, 40.0 * (x / 90.0).sin()))
            .collect();
        let thin = thinned(&line);
        assert!(thin.len() < 150, "{}", thin.len());
        for &p in &line {
            let piece = thin.windows(2).find(|w| w[0].x <= p.x && p.x <= w[1].x);
            assert!(off(piece.unwrap(), p) <= UNSEEN * 1.01, "{p:?}");
        }
        // A jump within one pixel keeps both its ends.
        let jump = [(0.0, 0.0), (5.0, 0.0), (5.0, 9.0), (8.0, 9.0)].map(|(x, y)| pos2(x, y));
        assert_eq!(thinned(&jump), jump);
    }

    #[test]
    fn a_straight_rise_is_two_points() {
        let axis = TimeAxis {
            left: 0.0,
            right: 100.0,
            duration_s: 100.0,
        };
        let time_s: Vec<f64> = (0..=1000).map(|i| f64::from(i) * 0.1).collect();
        // Half a pixel up for each pixel along: ten samples share a pixel. The last has one of its own.
        let lines = polylines(&axis, &time_s, |i| i as f32 * 0.05, |v| v);
        assert!(lines[0].len() <= 3, "{:?}", lines[0]);
    }

    #[test]
    fn gaps_break_the_line() {
        let axis = TimeAxis {
            left: 0.0,
            right: 9.0,
            duration_s: 9.0,
        };
        let time_s: Vec<f64> = (0..10).map(f64::from).collect();
        let value = |i: usize| if i == 5 { f32::NAN } else { 1.0 };
        assert_eq!(polylines(&axis, &time_s, value, |v| v).len(), 2);
    }
}
