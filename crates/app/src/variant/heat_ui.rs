//! The map of a sweep: share cleared over one or two things that were varied, with the line of the wanted share.

use egui::{Color32, Stroke, Ui};
use egui_plot::{
    FilledArea, GridMark, Heatmap, HoverPosition, Line, LineStyle, Plot, PlotPoint, PlotUi, Points,
};
use lithodrome_study::{Share, SweepReport};

use super::{
    curve_ui::{HIGH, hundred, zoom_words},
    desk::Found,
    words,
};
use crate::kit::{
    controls,
    plot::{name_plot, plain_plot},
    theme::{self, Palette},
};

/// The map with what it is of, and what is under the pointer.
pub(super) fn heat_ui(ui: &mut Ui, found: &Found) {
    let Some(sweep) = &found.report.sweep else {
        return;
    };
    let palette = Palette::of(ui);
    let axes: Vec<String> = sweep.axes.iter().map(|a| words::input(a)).collect();
    let sentence = format!(
        "Ears of 100 cleared, over {}. Dark to light is few to all.",
        names(&axes).join(" and ")
    );
    controls::line(
        ui,
        turned(&sentence, &palette),
        theme::small(),
        palette.weak,
    );
    plot_ui(ui, found, HIGH + 48.0);
    if let Some(wanted) = sweep.wanted.filter(|_| sweep.axes.len() > 1) {
        let line = if sweep.contour.is_empty() {
            "No line: the share is on one side of it everywhere"
        } else {
            "The line runs"
        };
        let words = format!("{line} at {:.0} in 100.", 100.0 * wanted);
        controls::line(ui, words, theme::small(), palette.weak);
    }
    if let Some((best, share)) = best(sweep) {
        let at: Vec<String> = best
            .iter()
            .zip(&axes)
            .map(|(value, axis)| told(axis, *value))
            .collect();
        let words = format!(
            "Most are cleared with {}: {}.",
            at.join(" and "),
            words::share(share)
        );
        controls::line(ui, words, theme::small(), palette.text);
    }
    zoom_words(ui);
}

/// Light grounds go the other way.
fn turned(sentence: &str, palette: &Palette) -> String {
    if palette.dark {
        sentence.to_owned()
    } else {
        sentence.replace("Dark to light", "Light to dark")
    }
}

/// Names of the axes without their units.
fn names(axes: &[String]) -> Vec<&str> {
    let name = |axis: &'_ str| axis.rsplit_once(", ").map(|(name, _)| name.len());
    axes.iter()
        .map(|axis| &axis[..name(axis).unwrap_or(axis.len())])
        .collect()
}

/// "hold 20 s" from "hold, s".
fn told(axis: &str, value: f64) -> String {
    match axis.rsplit_once(", ") {
        Some((name, "°")) => format!("{name} {value}°"),
        Some((name, unit)) => format!("{name} {value} {unit}"),
        None => format!("{axis} {value}"),
    }
}

/// The point with the largest share, `[axis]`.
fn best(sweep: &SweepReport) -> Option<(Vec<f64>, &Share)> {
    let (i, share) = sweep
        .cleared
        .iter()
        .enumerate()
        .max_by(|a, b| a.1.share.total_cmp(&b.1.share).then(b.0.cmp(&a.0)))?;
    let inner = sweep.values.get(1).map_or(1, Vec::len);
    let mut at = vec![*sweep.values.first()?.get(i / inner)?];
    if let Some(second) = sweep.values.get(1) {
        at.push(*second.get(i % inner)?);
    }
    Some((at, share))
}

/// The plot alone: a map of two things, a curve with its band over one.
pub fn plot_ui(ui: &mut Ui, found: &Found, high: f32) {
    let Some(sweep) = &found.report.sweep else {
        return;
    };
    let axes: Vec<String> = sweep.axes.iter().map(|a| words::input(a)).collect();
    let palette = Palette::of(ui);
    let told = |at: &HoverPosition<'_>| {
        let at = match at {
            HoverPosition::NearDataPoint { position, .. }
            | HoverPosition::Elsewhere { position } => *position,
        };
        read_off(sweep, &axes, at)
    };
    let first = sweep.values.first().cloned().unwrap_or_default();
    let marks = first.clone();
    let plot = plain_plot(ui, "map", high)
        .x_axis_label(axes.first().cloned().unwrap_or_default())
        .x_grid_spacer(move |_| at_values(&marks))
        .x_axis_formatter(|mark, _| tenth(mark.value))
        .label_formatter(told);
    let shown = match sweep.values.get(1) {
        Some(second) => {
            let marks = second.clone();
            let plot = plot
                .y_axis_label(axes.get(1).cloned().unwrap_or_default())
                .y_grid_spacer(move |_| at_values(&marks))
                .y_axis_formatter(|mark, _| tenth(mark.value))
                .show_grid(false);
            surface(ui, plot, sweep, [&first, second], palette)
        }
        None => line(ui, plot, sweep, &first, palette),
    };
    let name = format!("Share cleared over {}", names(&axes).join(" and "));
    name_plot(&shown, &name);
}

/// No more digits than a grid's value has.
fn tenth(value: f64) -> String {
    let rounded = (10.0 * value).round() / 10.0 + 0.0;
    format!("{rounded}").replace('-', "−")
}

fn at_values(values: &[f64]) -> Vec<GridMark> {
    let apart = values.windows(2).map(|w| w[1] - w[0]).fold(1.0, f64::max);
    let mark = |value: &f64| GridMark {
        value: *value,
        step_size: apart,
    };
    values.iter().map(mark).collect()
}

fn surface(
    ui: &mut Ui,
    plot: Plot<'_>,
    sweep: &SweepReport,
    [first, second]: [&[f64]; 2],
    palette: Palette,
) -> egui::Response {
    let apart = |values: &[f64]| match values {
        [a, b, ..] => b - a,
        _ => 1.0,
    };
    let (wide, high) = (apart(first), apart(second));
    // Rows from below: the second axis goes up.
    let values: Vec<f64> = (0..second.len())
        .flat_map(|j| (0..first.len()).map(move |i| (i, j)))
        .map(|(i, j)| {
            let share = sweep.cleared.get(i * second.len() + j);
            share.map_or(0.0, |s| 100.0 * s.share)
        })
        .collect();
    let corner = [first, second].map(|v| v.first().copied().unwrap_or(0.0));
    let map = Heatmap::new(values, first.len())
        .at(PlotPoint::new(
            corner[0] - 0.5 * wide,
            corner[1] - 0.5 * high,
        ))
        .tile_size(wide as f32, high as f32)
        .name("Cleared, in 100")
        .formatter(Box::new(|v| format!("{v:.0}")))
        .custom_mapping(Box::new(move |v| grey(v / 100.0, &palette)));
    let contour = sweep.contour.clone();
    let draw = move |plot: &mut PlotUi<'_>| {
        plot.heatmap(map);
        for (i, piece) in contour.iter().enumerate() {
            let points = vec![piece.from, piece.to];
            // A light line over a dark one is seen on every grey.
            for (width, ink) in [(4.0, palette.panel), (2.0, palette.text)] {
                let name = format!("line {i} {width}");
                let line = Line::new(name, points.clone()).stroke(Stroke::new(width, ink));
                plot.line(line.allow_hover(false).allow_band(false));
            }
        }
    };
    plot.show(ui, draw).response
}

fn line(
    ui: &mut Ui,
    plot: Plot<'_>,
    sweep: &SweepReport,
    values: &[f64],
    palette: Palette,
) -> egui::Response {
    let of = |value: fn(&Share) -> f64| -> Vec<f64> {
        sweep.cleared.iter().map(|s| 100.0 * value(s)).collect()
    };
    let band = FilledArea::new("band", values, &of(|s| s.low), &of(|s| s.high))
        .fill_color(palette.text.gamma_multiply(0.22))
        .allow_hover(false);
    let points: Vec<[f64; 2]> = values
        .iter()
        .zip(of(|s| s.share))
        .map(|(x, y)| [*x, y])
        .collect();
    let wanted = sweep.wanted;
    let draw = move |plot: &mut PlotUi<'_>| {
        plot.add(band);
        if let Some(wanted) = wanted {
            let line = egui_plot::HLine::new("wanted", 100.0 * wanted);
            let line = line.stroke(Stroke::new(1.0, palette.faint));
            plot.hline(line.style(LineStyle::dashed_dense()).allow_hover(false));
        }
        let dots = Points::new("cleared", points.clone());
        plot.points(dots.color(palette.text).radius(3.0));
        let line = Line::new("share", points).stroke(Stroke::new(1.5, palette.text));
        plot.line(line.allow_hover(false).allow_band(false));
    };
    let plot = plot
        .include_y(0.0)
        .include_y(100.0)
        .y_grid_spacer(|_| hundred())
        .y_axis_label("cleared, in 100");
    plot.show(ui, draw).response
}

/// From the ground to the ink of the theme.
fn grey(share: f64, palette: &Palette) -> Color32 {
    palette.block.lerp_to_gamma(palette.text, share as f32)
}

/// The share at the point of the grid that is nearest.
fn read_off(sweep: &SweepReport, axes: &[String], at: PlotPoint) -> Option<String> {
    let nearest = |values: &[f64], at: f64| {
        let apart = |v: &f64| (v - at).abs();
        let all = values.iter().enumerate();
        all.min_by(|a, b| apart(a.1).total_cmp(&apart(b.1)))
            .map(|(i, v)| (i, *v))
    };
    let (i, first) = nearest(sweep.values.first()?, at.x)?;
    let mut words = told(axes.first()?, first);
    let mut place = i;
    if let Some(second) = sweep.values.get(1) {
        let (j, value) = nearest(second, at.y)?;
        place = i * second.len() + j;
        words = format!("{words}, {}", told(axes.get(1)?, value));
    }
    let cleared = sweep.cleared.get(place)?;
    let percent = |x: f64| format!("{:.0}", 100.0 * x);
    Some(format!(
        "{words}\ncleared {} in 100, {} to {}\nswitched {} in 100",
        percent(cleared.share),
        percent(cleared.low),
        percent(cleared.high),
        percent(sweep.switched.get(place)?.share)
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sweep() -> SweepReport {
        SweepReport {
            sequence: "A".to_owned(),
            axes: vec!["hold_s".to_owned(), "below_horizontal_deg".to_owned()],
            values: vec![vec![10.0, 20.0], vec![0.0, 15.0, 30.0]],
            // The second axis is innermost.
            cleared: [1, 2, 3, 4, 9, 6].map(|n| Share::of(n, 10)).to_vec(),
            switched: [0; 6].map(|n| Share::of(n, 10)).to_vec(),
            wanted: Some(0.5),
            contour: Vec::new(),
        }
    }

    #[test]
    fn what_is_pointed_at_is_read_off_the_right_cell() {
        let axes = ["hold, s".to_owned(), "below horizontal, °".to_owned()];
        let words = read_off(&sweep(), &axes, PlotPoint::new(18.0, 16.0)).unwrap();
        assert!(
            words.starts_with("hold 20 s, below horizontal 15°\ncleared 90 in 100"),
            "{words}"
        );
    }

    #[test]
    fn the_best_point_is_named_by_its_values() {
        let sweep = sweep();
        let (at, share) = best(&sweep).unwrap();
        assert_eq!((at, share.count), (vec![20.0, 15.0], 9));
    }
}
