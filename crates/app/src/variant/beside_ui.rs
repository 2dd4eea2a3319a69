//! Sequences side by side: what each asks of the patient, what it clears, and the difference in the same ears.

use egui::{Grid, Ui};
use lithodrome_study::{RunEnd, Strain, Summary};

use super::{desk::Found, words};
use crate::kit::{
    controls,
    theme::{self, Palette},
};

/// What a sequence asks of a patient: label, tooltip, value.
pub fn measures(strain: &Strain) -> [(&'static str, &'static str, String); 5] {
    [
        (
            "Time in the chair",
            "From the first move to the last, without what follows",
            format!("{:.0} s", strain.duration_s),
        ),
        (
            "Lowest head",
            "Farthest that the crown is below the horizontal",
            format!("{:.0}°", strain.lowest_head_deg),
        ),
        (
            "Head down",
            "Time with the crown below the horizontal",
            format!("{:.0} s", strain.inverted_s),
        ),
        (
            "Turning in all",
            "All turning of the head, whatever its axis",
            format!("{:.0}°", strain.turning_deg),
        ),
        (
            "Fastest turn",
            "Highest speed of the head",
            format!("{:.0}°/s", strain.fastest_deg_s),
        ),
    ]
}

/// The table and the differences.
pub(super) fn beside_ui(ui: &mut Ui, found: &Found) {
    let palette = Palette::of(ui);
    let sequences = &found.report.sequences;
    let names: Vec<String> = (0..sequences.len()).map(letter).collect();
    for (name, summary) in names.iter().zip(sequences) {
        let words = format!("{name}: {}", summary.sequence);
        controls::line(ui, words, theme::small(), palette.text);
    }
    // The first one is beside none.
    for (name, compared) in names.iter().skip(1).zip(&found.report.compared) {
        let words = format!("{name} beside A. {}.", words::difference(compared));
        controls::line(ui, words, theme::body_strong(), palette.text);
    }
    ui.add_space(4.0);
    table_ui(ui, found, &names);
}

/// "A" for the first.
pub fn letter(i: usize) -> String {
    char::from_u32('A' as u32 + i as u32 % 26).map_or_else(String::new, String::from)
}

/// How ears end that are not cleared, with what is said of each.
const OTHER_ENDS: [(RunEnd, &str, &str); 5] = [
    (
        RunEnd::BehindCupula,
        "Behind the cupula, of 100",
        "Out of the long arms, but in a short arm that beats; 95 % interval",
    ),
    (
        RunEnd::Inside,
        "Inside, of 100",
        "Some debris is in its own canal still; 95 % interval",
    ),
    (
        RunEnd::Held,
        "Held, of 100",
        "In its own canal, where friction alone keeps it; 95 % interval",
    ),
    (
        RunEnd::Passing,
        "Passing, of 100",
        "In another canal, from which it falls back on sitting; 95 % interval",
    ),
    (
        RunEnd::Switched,
        "Switched, of 100",
        "Debris went into another canal; 95 % interval",
    ),
];

fn table_ui(ui: &mut Ui, found: &Found, names: &[String]) {
    let area = egui::ScrollArea::horizontal().id_salt("side by side");
    area.show(ui, |ui| {
        let grid = Grid::new("side by side").striped(true).min_col_width(48.0);
        grid.spacing([12.0, 6.0]).show(ui, |ui| {
            cells(ui, "", "", names.iter().cloned());
            let sequences = &found.report.sequences;
            let percent = |x: f64| format!("{:.0}", 100.0 * x);
            cells(
                ui,
                "Cleared, of 100",
                "Share of ears cleared",
                sequences.iter().map(|s| percent(s.shares.cleared)),
            );
            cells(
                ui,
                "95 % interval",
                "Where the share of all such ears lies",
                sequences
                    .iter()
                    .map(|s| format!("{}–{}", percent(s.cleared_low), percent(s.cleared_high))),
            );
            for (word, label, tip) in OTHER_ENDS {
                if sequences.iter().any(|s| s.ends.contains_key(word.name())) {
                    let cell = |s: &Summary| {
                        s.ends.get(word.name()).map_or_else(
                            || "0".to_owned(),
                            |found| {
                                let [share, low, high] =
                                    [found.share, found.low, found.high].map(percent);
                                format!("{share} ({low}–{high})")
                            },
                        )
                    };
                    cells(ui, label, tip, sequences.iter().map(cell));
                }
            }
            if sequences.iter().any(|s| s.nearest_miss_mm.is_some()) {
                let tip = "Least way to the divide of a wrong canal, the middle of the first ears that come near one (a twentieth is nearer)";
                let cell = |s: &Summary| {
                    s.nearest_miss_mm.as_ref().map_or_else(
                        || "none near".to_owned(),
                        |miss| format!("{:.1} ({:.1})", miss.q50, miss.q05),
                    )
                };
                cells(ui, "Nearest miss, mm", tip, sequences.iter().map(cell));
            }
            let first = found.report.strain.first();
            let rows = first.map(|s| measures(s).map(|(label, tip, _)| (label, tip)));
            for (i, (label, tip)) in rows.into_iter().flatten().enumerate() {
                let values = found.report.strain.iter().map(|s| measures(s)[i].2.clone());
                cells(ui, label, tip, values);
            }
        });
    });
}

fn cells(ui: &mut Ui, label: &str, tip: &str, values: impl Iterator<Item = String>) {
    let response = ui.label(label);
    if !tip.is_empty() {
        response.on_hover_text(tip);
    }
    for value in values {
        let right = egui::Layout::right_to_left(egui::Align::Center);
        ui.with_layout(right, |ui| ui.label(value));
    }
    ui.end_row();
}
