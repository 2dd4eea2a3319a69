//! How the share settles: share cleared against the number of ears, with its 95 % band.

use egui::{Color32, Stroke, Ui};
use egui_plot::{FilledArea, GridMark, HoverPosition, Line, LineStyle, PlotPoint, Points};
use lithodrome_study::{Share, Summary};

use super::{beside_ui::letter, desk::Found};
use crate::kit::{
    controls,
    plot::{name_plot, plain_plot},
    theme::{self, Palette},
};

/// Height of a plot in the column, points.
pub const HIGH: f32 = 208.0;

/// Most sequences with a line of their own.
const MOST: usize = 6;

/// The plot with a sentence above it.
pub(super) fn curve_ui(ui: &mut Ui, found: &Found) {
    let palette = Palette::of(ui);
    let words = "Share of ears cleared among the first ones, more and more of them. The band is where the share of all such ears lies, 95 % sure.";
    controls::line(ui, words, theme::small(), palette.weak);
    plot_ui(ui, found, HIGH);
    for (i, summary) in found.report.sequences.iter().take(MOST).enumerate() {
        if found.report.sequences.len() > 1 {
            let words = format!("{}: {}", letter(i), summary.sequence);
            controls::line(ui, words, theme::small(), palette.text);
        }
    }
    zoom_words(ui);
}

/// How to zoom, under every plot.
pub(super) fn zoom_words(ui: &mut Ui) {
    let palette = Palette::of(ui);
    let words = "Drag to move, Ctrl and wheel to zoom, double-click to see all.";
    controls::line(ui, words, theme::small(), palette.weak);
}

fn places(summary: &Summary) -> impl Iterator<Item = (f64, &Share)> {
    let of = |share: &Share| (share.of.max(1) as f64).log10();
    summary.convergence.iter().map(move |s| (of(s), s))
}

/// The plot alone.
pub fn plot_ui(ui: &mut Ui, found: &Found, high: f32) {
    let palette = Palette::of(ui);
    let sequences = &found.report.sequences;
    let told = |at: &HoverPosition<'_>| match at {
        HoverPosition::NearDataPoint {
            plot_name,
            position,
            ..
        } => Some(format!(
            "{plot_name}: {:.0} in 100 of {:.0} ears",
            position.y,
            10_f64.powf(position.x)
        )),
        HoverPosition::Elsewhere { position } => Some(read_off(sequences, *position)),
    };
    let shown = plain_plot(ui, "share against ears", high)
        .include_y(0.0)
        .include_y(100.0)
        .x_axis_label("ears")
        .y_axis_label("cleared, in 100")
        .x_grid_spacer(|grid| decades(grid.bounds))
        .y_grid_spacer(|_| hundred())
        .x_axis_formatter(|mark, _| format!("{:.0}", 10_f64.powf(mark.value)))
        .label_formatter(told)
        .show(ui, |plot| {
            for (i, summary) in sequences.iter().take(MOST).enumerate() {
                let (ink, style) = look(i, &palette);
                let of = |value: fn(&Share) -> f64| -> Vec<f64> {
                    places(summary).map(|(_, s)| 100.0 * value(s)).collect()
                };
                let xs: Vec<f64> = places(summary).map(|(x, _)| x).collect();
                if i < 2 {
                    let band = FilledArea::new(
                        format!("band {}", letter(i)),
                        &xs,
                        &of(|s| s.low),
                        &of(|s| s.high),
                    );
                    plot.add(band.fill_color(ink.gamma_multiply(0.22)).allow_hover(false));
                }
                let points: Vec<[f64; 2]> =
                    places(summary).map(|(x, s)| [x, 100.0 * s.share]).collect();
                let name = letter(i);
                plot.points(
                    Points::new(format!("{name}, ears"), points.clone())
                        .color(ink)
                        .radius(2.5),
                );
                let line = Line::new(name, points).stroke(Stroke::new(1.5, ink));
                plot.line(line.style(style).allow_band(false).allow_hover(false));
            }
        });
    let last = sequences.first().and_then(|s| s.convergence.last());
    let ends = last.map_or_else(String::new, |s| {
        format!(", {:.0} in 100 at the end", 100.0 * s.share)
    });
    name_plot(
        &shown.response,
        &format!("Share cleared against number of ears{ends}"),
    );
}

/// Grey for all; they differ by their dashes.
fn look(i: usize, palette: &Palette) -> (Color32, LineStyle) {
    match i {
        0 => (palette.text, LineStyle::Solid),
        1 => (palette.weak, LineStyle::dashed_dense()),
        2 => (palette.weak, LineStyle::dashed_loose()),
        3 => (palette.weak, LineStyle::dotted_dense()),
        _ => (palette.faint, LineStyle::dotted_loose()),
    }
}

/// 10, 20, 50, 100 and so on, as far as they are seen.
fn decades((from, to): (f64, f64)) -> Vec<GridMark> {
    (0..6)
        .flat_map(|decade| [1.0_f64, 2.0, 5.0].map(|m| (decade, m)))
        .map(|(decade, m)| GridMark {
            value: (m * 10_f64.powi(decade)).log10(),
            step_size: if m < 1.5 { 1.0 } else { 0.35 },
        })
        .filter(|mark| (from..=to).contains(&mark.value))
        .collect()
}

/// Every twentieth of a hundred.
pub(super) fn hundred() -> Vec<GridMark> {
    let mark = |i: u32| GridMark {
        value: f64::from(20 * i),
        step_size: 20.0,
    };
    (0..=5).map(mark).collect()
}

/// The share of the first sequence at the number of ears that is pointed at.
fn read_off(sequences: &[Summary], at: PlotPoint) -> String {
    let near = sequences
        .first()
        .and_then(|s| places(s).min_by(|a, b| (a.0 - at.x).abs().total_cmp(&(b.0 - at.x).abs())));
    match near {
        Some((_, s)) => format!(
            "A, first {} ears: {:.0} in 100, {:.0} to {:.0}",
            s.of,
            100.0 * s.share,
            100.0 * s.low,
            100.0 * s.high
        ),
        None => String::new(),
    }
}
