//! A report as plain text, for the terminal.

use std::collections::BTreeMap;
use std::fmt::Write;

use super::json::{DebrisReport, Report};

/// The caution that stands under every report.
pub const CAUTION: &str = "A teaching and planning model, not a medical device.";

/// The report in lines: steps with what is seen in each, debris, warnings, the caution.
pub fn report_text(report: &Report) -> String {
    let mut text = String::new();
    let (title, anatomy, engine) = (&report.title, &report.anatomy, report.engine);
    // Writing into a String does not fail.
    let _ = writeln!(text, "{title}");
    let _ = writeln!(
        text,
        "{engine} engine, anatomy {anatomy}, {:.1} s\n",
        report.duration_s
    );
    text.push_str(&steps_table(report));
    text.push('\n');
    for line in debris_lines(&report.debris) {
        let _ = writeln!(text, "{line}");
    }
    if let Some(answer) = &report.test_answer {
        let _ = writeln!(text, "{}", answer.sentence);
    }
    let _ = writeln!(text, "{}", report.verdict_sentence);
    for short in report.steps.iter().filter_map(|s| s.short_hold.as_ref()) {
        let _ = writeln!(text, "Warning: {}", short.words);
    }
    for warning in &report.warnings {
        let _ = writeln!(text, "Warning: {warning}");
    }
    let _ = writeln!(text, "\n{CAUTION}");
    text
}

fn steps_table(report: &Report) -> String {
    let header = ["", "step", "hold s", "yaw °", "track °", "seen in the hold"].map(str::to_owned);
    let rows = report.steps.iter().enumerate().map(|(i, s)| {
        [
            (i + 1).to_string(),
            s.name.clone(),
            format!("{:.0} to {:.0}", s.hold_from_s, s.end_s),
            format!("{:.0}", s.yaw_deg),
            format!("{:.0}", s.track_deg),
            s.sentence.clone(),
        ]
    });
    let table: Vec<_> = std::iter::once(header).chain(rows).collect();
    let width = |column: usize| table.iter().map(|r| r[column].chars().count()).max();
    let widths: [usize; 6] = std::array::from_fn(|c| width(c).unwrap_or(0));
    let mut text = String::new();
    for row in &table {
        let cells: Vec<_> = row
            .iter()
            .zip(widths)
            .map(|(cell, width)| format!("{cell:width$}"))
            .collect();
        let _ = writeln!(text, "{}", cells.join("  ").trim_end());
    }
    text
}

/// One line for all bodies of a canal that ended in the same part.
fn debris_lines(debris: &[DebrisReport]) -> Vec<String> {
    if debris.is_empty() {
        return vec!["No debris.".to_owned()];
    }
    let mut ends: BTreeMap<_, Vec<&DebrisReport>> = BTreeMap::new();
    for d in debris {
        let key = (d.ear, d.canal, d.on_cupula, d.end_region);
        ends.entry(key).or_default().push(d);
    }
    ends.into_iter()
        .map(|((ear, canal, on_cupula, region), bodies)| {
            let n = bodies.len();
            let end = if on_cupula {
                "still on the cupula".to_owned()
            } else {
                format!("in the {region}")
            };
            let exits = bodies.iter().filter_map(|d| d.exit_s);
            let last = exits.fold(f64::NEG_INFINITY, f64::max);
            let out = if last.is_finite() {
                format!(", the last one out at {last:.1} s")
            } else {
                String::new()
            };
            format!("Debris of the {ear} {canal} canal: {n} {end}{out}")
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn body(end_region: &'static str, exit_s: Option<f64>) -> DebrisReport {
        DebrisReport {
            ear: "right",
            canal: "posterior",
            diameter_um: 50.0,
            end_region,
            end_arc_mm: 0.0,
            on_cupula: false,
            exit_s,
        }
    }

    #[test]
    fn bodies_are_summed_up_by_where_they_ended() {
        let debris = [
            body("utricle", Some(60.0)),
            body("posterior duct", None),
            body("utricle", Some(71.24)),
        ];
        assert_eq!(
            debris_lines(&debris),
            [
                "Debris of the right posterior canal: 1 in the posterior duct",
                "Debris of the right posterior canal: 2 in the utricle, the last one out at 71.2 s",
            ]
        );
    }
}
