//! Columns over time to points on screen, no more of them than there are pixels for.

use egui::{Pos2, pos2};

use super::axis::TimeAxis;

/// The curve of `value(sample)` over `time_s`, placed by `y`. Where several samples share a pixel,
/// the lowest and the highest are kept, so that no peak is lost. Breaks where a value is no number.
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
                lines.push(std::mem::take(&mut line));
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
        for v in ends.into_iter().chain([last]) {
            let point = pos2(x, y(v));
            if line.last() != Some(&point) {
                line.push(point);
            }
        }
    }
    if line.len() > 1 {
        lines.push(line);
    }
    lines
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
        assert!(lines[0].len() < 320, "{}", lines[0].len());
        assert!(lines[0].iter().any(|p| (p.y - 5.0).abs() < 1e-6));
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
