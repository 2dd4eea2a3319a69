//! How well a learner's reading of eyes agrees with the model beyond chance, as it went over time.

use egui::{Stroke, Ui};
use egui_plot::{HLine, HoverPosition, Line, LineStyle, Points};
use lithodrome_rehearsal::{Learner, kappa_over_time};

use crate::kit::{
    controls,
    plot::{name_plot, plain_plot},
    theme::{self, Palette},
};

/// Height of the plot, points.
const HIGH: f32 = 144.0;

/// Shows the curve, or from when on there is one; each of its points is of the last `window` recordings.
pub(super) fn kappa_ui(ui: &mut Ui, learner: &Learner, window: usize) {
    let palette = Palette::of(ui);
    controls::section(ui, "Agreement with the model beyond chance, kappa");
    let kappas = kappa_over_time(&learner.readings(), window);
    // Where chance alone would agree always there is no kappa.
    let points: Vec<[f64; 2]> = kappas
        .iter()
        .enumerate()
        .filter_map(|(i, kappa)| Some([(window + i) as f64, (*kappa)?]))
        .collect();
    let (Some(last), true) = (points.last().copied(), kappas.len() > 1) else {
        let words = format!("The curve begins with {} recordings.", window + 1);
        controls::line(ui, words, theme::small(), palette.weak);
        return;
    };
    let words = format!("Of {window} recordings in a row: 1 is always, 0 is what chance does.");
    controls::line(ui, words, theme::small(), palette.weak);
    let told = |at: &HoverPosition<'_>| match at {
        HoverPosition::NearDataPoint { position, .. } => Some(format!(
            "recording {:.0}: kappa {:.2}",
            position.x, position.y
        )),
        HoverPosition::Elsewhere { .. } => None,
    };
    let shown = plain_plot(ui, "kappa over recordings", HIGH)
        .include_y(0.0)
        .include_y(1.0)
        .x_axis_label("recordings read")
        .label_formatter(told)
        .show(ui, |plot| {
            let chance = HLine::new("chance", 0.0).stroke(Stroke::new(1.0, palette.weak));
            plot.hline(chance.style(LineStyle::dashed_dense()).allow_hover(false));
            for run in unbroken(&points) {
                let line = Line::new("kappa", run.to_vec());
                let line = line.stroke(Stroke::new(1.5, palette.text));
                plot.line(line.allow_band(false).allow_hover(false));
            }
            let dots = Points::new("recordings", points.clone());
            plot.points(dots.color(palette.text).radius(2.0));
        });
    let name = format!("Kappa over recordings read, {:.2} at the end", last[1]);
    name_plot(&shown.response, &name);
}

/// The parts of a curve between places where there is none.
fn unbroken(points: &[[f64; 2]]) -> impl Iterator<Item = &[[f64; 2]]> {
    points.chunk_by(|a, b| b[0] - a[0] < 1.5)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_is_broken_where_there_is_no_kappa() {
        let points = [[10.0, 0.2], [11.0, 0.3], [13.0, 0.4]];
        let runs: Vec<usize> = unbroken(&points).map(<[_]>::len).collect();
        assert_eq!(runs, [2, 1]);
    }
}
