//! The lowest-head limit as a slider, with the best share within it: found in what is computed, at once.

use egui::{Slider, Stroke, Ui};
use egui_plot::{HoverPosition, Line, LineStyle, VLine};

use super::{
    VariantState,
    ask::push,
    command::VariantCommand,
    curve_ui::hundred,
    desk::Found,
    form::Limits,
    form_ui::HEAD_DEG,
    searched_ui,
    within::{Candidate, best_within, candidates, stairs},
    words,
};
use crate::{
    kit::controls,
    kit::plot::{name_plot, plain_plot},
    kit::theme::{self, Palette},
    session::command::Command,
};

/// Height of the stairs, points.
const HIGH: f32 = 136.0;

/// Slider, share, stairs, and all that fit.
pub(super) fn limits_ui(
    ui: &mut Ui,
    variant: &VariantState,
    found: &Found,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    let all = candidates(&found.study, &found.report);
    let mut form = variant.form.clone();
    ui.label(height_words(form.limits.lowest_head_deg));
    ui.spacing_mut().slider_width = (ui.available_width() - 8.0).max(120.0);
    let slider = Slider::new(&mut form.limits.lowest_head_deg, HEAD_DEG)
        .show_value(false)
        .step_by(1.0);
    let response = ui.add(slider);
    crate::kit::fields::name(&response, "Lowest head that is allowed");
    controls::takes_arrows(&response);
    response.on_hover_text("Drag, or Left and Right: what is best within it follows at once");
    if form != variant.form {
        push(commands, VariantCommand::Write(Box::new(form.clone())));
    }
    let limits = form.limits;
    controls::section(ui, "Searched");
    searched_ui::searched_ui(ui, &variant.searching, commands);
    controls::section(ui, "Known treatments of this canal");
    match best_within(&all, &limits) {
        Some(best) => best_ui(ui, found, best, &all, commands),
        None => none_ui(ui, &all, &limits),
    }
    stairs_ui(ui, found, &limits, HIGH);
    let words = format!(
        "Chosen on the very {} ears it is told for, so the share is a little flattering: ask about it alone with another seed.",
        found.done()
    );
    controls::line(ui, words, theme::small(), palette.weak);
    list_ui(ui, found, &all, &limits, commands);
}

/// What an angle below the horizontal means.
fn height_words(below_deg: f64) -> String {
    let deg = below_deg.round();
    if deg > 0.0 {
        format!("Head at most {deg:.0}° below the horizontal")
    } else if deg < 0.0 {
        format!("Head never less than {:.0}° above the horizontal", -deg)
    } else {
        "Head never below the horizontal".to_owned()
    }
}

fn name(found: &Found, candidate: &Candidate) -> String {
    let of = found.study.sequences.get(candidate.sequence);
    of.map_or_else(String::new, |s| s.name.clone())
}

fn best_ui(
    ui: &mut Ui,
    found: &Found,
    best: &Candidate,
    all: &[Candidate],
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    let sentence = format!(
        "The best of {} clears {}.",
        all.len(),
        words::share(&best.cleared)
    );
    controls::line(ui, sentence, theme::body_strong(), palette.text);
    let about = format!(
        "{}: out of the long arms {:.0} in 100; head {:.0}° below the horizontal, {:.0} s head down, {} holds",
        name(found, best),
        100.0 * best.out,
        best.lowest_head_deg,
        best.inverted_s,
        best.holds
    );
    controls::line(ui, about, theme::small(), palette.text);
    if let Some(first) = all.first().filter(|first| *first != best) {
        let words = format!(
            "Without these limits, {}: {:.0} in 100.",
            name(found, first),
            100.0 * first.cleared.share
        );
        controls::line(ui, words, theme::small(), palette.weak);
    }
    let button = ui.button("Open it");
    let tip = "As a new scenario, to change, drive and print";
    if button.on_hover_text(tip).clicked() {
        push(commands, VariantCommand::OpenSequence(best.sequence));
    }
}

/// Which limit is in the way.
fn none_ui(ui: &mut Ui, all: &[Candidate], limits: &Limits) {
    let palette = Palette::of(ui);
    let least = all
        .iter()
        .filter(|c| {
            c.is_within(&Limits {
                lowest_head_deg: 90.0,
                ..*limits
            })
        })
        .map(|c| c.crown_below_deg)
        .min_by(f64::total_cmp);
    let words = match least {
        Some(least) => format!(
            "None of {} keeps the head that high; the first does at {:.0}° {} the horizontal.",
            all.len(),
            least.abs(),
            if least < 0.0 { "above" } else { "below" }
        ),
        None => format!(
            "None of {} has so few holds or so little time head down.",
            all.len()
        ),
    };
    controls::line(ui, words, theme::body_strong(), palette.text);
}

/// Best share against the limit.
pub fn stairs_ui(ui: &mut Ui, found: &Found, limits: &Limits, high: f32) {
    let palette = Palette::of(ui);
    let all = candidates(&found.study, &found.report);
    let steps = stairs(&all, limits);
    let limits = *limits;
    let told = |at: &HoverPosition<'_>| {
        let (HoverPosition::NearDataPoint { position, .. } | HoverPosition::Elsewhere { position }) =
            at;
        let at = Limits {
            lowest_head_deg: position.x.clamp(-90.0, 90.0),
            ..limits
        };
        let best = best_within(&all, &at)?;
        Some(format!(
            "{:.0}°: {:.0} in 100\n{}",
            at.lowest_head_deg,
            100.0 * best.cleared.share,
            name(found, best)
        ))
    };
    let shown = plain_plot(ui, "best share against limit", high)
        .include_x(0.0)
        .include_x(90.0)
        .include_y(0.0)
        .include_y(100.0)
        .x_axis_label("head below the horizontal, °")
        .y_grid_spacer(|_| hundred())
        .y_axis_label("cleared, in 100")
        .label_formatter(told)
        .show(ui, |plot| {
            let line = Line::new("best", steps).stroke(Stroke::new(2.0, palette.text));
            plot.line(line.allow_band(false).allow_hover(false));
            let mark = VLine::new("limit", limits.lowest_head_deg);
            let mark = mark.stroke(Stroke::new(1.0, palette.weak));
            plot.vline(mark.style(LineStyle::dashed_dense()).allow_hover(false));
        });
    name_plot(
        &shown.response,
        "Best share against the lowest head that is allowed",
    );
}

/// All that are within the limits, best first, then the others.
fn list_ui(
    ui: &mut Ui,
    found: &Found,
    all: &[Candidate],
    limits: &Limits,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    for (within, title) in [(true, "Within the limits"), (false, "Outside the limits")] {
        let mine: Vec<&Candidate> = all
            .iter()
            .filter(|c| c.is_within(limits) == within)
            .collect();
        if mine.is_empty() {
            continue;
        }
        controls::section(ui, title);
        for candidate in mine {
            let ink = if within { palette.text } else { palette.weak };
            let words = format!(
                "{:.0} cleared, {:.0} out; {:.0}° below, {:.0} s head down: {}",
                100.0 * candidate.cleared.share,
                100.0 * candidate.out,
                candidate.lowest_head_deg,
                candidate.inverted_s,
                name(found, candidate)
            );
            ui.horizontal_top(|ui| {
                let button = ui.small_button("Open");
                let called = format!("Open {}", name(found, candidate));
                crate::kit::fields::name(&button, &called);
                let tip = "As a new scenario, to change, drive and print";
                if button.on_hover_text(tip).clicked() {
                    push(commands, VariantCommand::OpenSequence(candidate.sequence));
                }
                controls::line(ui, words, theme::small(), ink);
            });
        }
    }
}
