//! A result as a report on two pages: the answer first, then how far it can be trusted.

use lithodrome_study::{Judging, Searched, Summary};
use lithodrome_visits::{
    Curves, DotArray, DotGroup, DotShape, Map, PaperCurve, PaperTable, Report, ReportPart,
    usual_cautions,
};

use super::{
    beside_ui::letter,
    desk::Found,
    dots::{self, DotEnd},
    form::{Asked, Limits},
    printed_search::searched_parts,
    within::{best_within, candidates},
    words,
};

/// Sequences with dots of their own.
const MOST_DOTS: usize = 2;
/// Rows of a table that fit.
const MOST_ROWS: usize = 12;
/// Mean speed above which a move counts as a throw, deg/s; a smooth move's fastest moment is 15/8 of it.
const THROW_DEG_S: f64 = 90.0 * 15.0 / 8.0;

/// The report; `limits` are those that the form has now, `searched` what a search has found if there was one.
pub fn report_of(found: &Found, limits: &Limits, searched: Option<&Searched>) -> Report {
    let mut parts = answer(found, limits);
    parts.extend(beside(found));
    parts.extend(cautions(found));
    parts.push(ReportPart::PageBreak);
    parts.extend(curve(found));
    parts.extend(map(found));
    parts.extend(what_decides(found));
    parts.extend(worst_ears(found));
    parts.extend(assumed(found));
    parts.extend(searched.map(searched_parts).unwrap_or_default());
    Report {
        title: found.study.file.title.clone(),
        subtitle: subtitle(found),
        parts,
    }
}

fn subtitle(found: &Found) -> String {
    let stopped = if found.is_whole() {
        String::new()
    } else {
        format!(" of {} asked for (stopped)", found.of)
    };
    format!(
        "{} {} ears{stopped}, seed {}; mixture: {}; ears about: {}.",
        found.asked.words(),
        found.done(),
        found.study.file.seed,
        found.study.mixture.title,
        found.study.anatomy.name,
    )
}

fn named(i: usize, summary: &Summary) -> String {
    format!("{}: {}", letter(i), summary.sequence)
}

fn answer(found: &Found, limits: &Limits) -> Vec<ReportPart> {
    let mut parts = vec![ReportPart::Heading("The answer".to_owned())];
    let sequences = &found.report.sequences;
    let mut shown: Vec<usize> = (0..sequences.len().min(MOST_DOTS)).collect();
    if found.asked == Asked::WithinLimits {
        let all = candidates(&found.study, &found.report);
        let best = best_within(&all, limits);
        parts.push(ReportPart::Paragraph(format!(
            "Limits: head at most {:.0}° below the horizontal, {:.0} s head down, {} holds. {} sequences were tried.",
            limits.lowest_head_deg,
            limits.inverted_s,
            limits.holds,
            all.len()
        )));
        let sentence = match best.and_then(|b| Some((b, sequences.get(b.sequence)?))) {
            Some((best, summary)) => format!(
                "The best within the limits, {}, clears {}.",
                summary.sequence,
                words::share(&best.cleared)
            ),
            None => "None of them keeps to the limits.".to_owned(),
        };
        parts.push(ReportPart::Strong(sentence));
        let words =
            "It was chosen on the very ears it is told for, so its share is a little flattering.";
        parts.push(ReportPart::Paragraph(words.to_owned()));
        shown = best.map(|b| b.sequence).into_iter().collect();
    } else {
        for (i, summary) in sequences.iter().enumerate().take(6) {
            let share = words::share(&words::cleared(summary));
            let sentence = format!("{} clears {share}.", named(i, summary));
            parts.push(ReportPart::Strong(sentence));
        }
        for (i, compared) in found.report.compared.iter().enumerate().take(5) {
            let sentence = format!(
                "{} beside A. {}.",
                letter(i + 1),
                words::difference(compared)
            );
            parts.push(ReportPart::Strong(sentence));
        }
    }
    let arrays = shown.iter().filter_map(|i| array(found, *i));
    parts.push(ReportPart::Dots(arrays.collect()));
    for i in shown {
        let Some(summary) = sequences.get(i) else {
            continue;
        };
        let steps = found.study.sequences.get(i);
        let steps = steps.map_or(0, |s| s.scenario.steps.len());
        let out = words::out_of_long_arms(summary);
        let told = out.into_iter().chain(words::exit(summary.exit_s.as_ref()));
        let mut points: Vec<String> = told.map(|w| format!("{}. {w}", letter(i))).collect();
        points.extend(words::exits(summary, steps).into_iter().take(5));
        parts.push(ReportPart::Points(points));
    }
    parts
}

/// The dots of one sequence.
fn array(found: &Found, sequence: usize) -> Option<DotArray> {
    let summary = found.report.sequences.get(sequence)?;
    let few = found.done() as usize <= dots::ALL;
    let groups = found.dots.get(sequence)?.iter().map(|row| {
        let end = match row.end {
            DotEnd::Switched(Some(to)) => format!("switched, {}", to.name()),
            end => end.name(),
        };
        let words = if few {
            format!("{} {end}", row.ears)
        } else {
            let percent = 100.0 * row.ears as f64 / f64::from(found.done());
            format!("{percent:.1} % {end}")
        };
        DotGroup {
            shape: shape(row.end),
            dots: row.dots,
            words,
        }
    });
    Some(DotArray {
        title: named(sequence, summary),
        groups: groups.collect(),
    })
}

fn shape(end: DotEnd) -> DotShape {
    match end {
        DotEnd::Cleared => DotShape::Full,
        DotEnd::BehindCupula => DotShape::Half,
        DotEnd::Inside => DotShape::Ring,
        DotEnd::Held => DotShape::Bar,
        DotEnd::Passing => DotShape::Point,
        DotEnd::Switched(Some(lithodrome_labyrinth::Canal::Anterior)) => DotShape::Triangle,
        DotEnd::Switched(_) => DotShape::OpenTriangle,
        DotEnd::Failed => DotShape::Cross,
    }
}

fn beside(found: &Found) -> Vec<ReportPart> {
    let head = [
        "Sequence",
        "cleared",
        "95 %",
        "switched",
        "chair, s",
        "lowest, °",
        "down, s",
        "turning, °",
    ];
    let percent = |x: f64| format!("{:.0}", 100.0 * x);
    let mut order: Vec<usize> = (0..found.report.sequences.len()).collect();
    if found.asked == Asked::WithinLimits {
        let all = candidates(&found.study, &found.report);
        order = all.iter().map(|c| c.sequence).collect();
    }
    let rows: Vec<Vec<String>> = order
        .into_iter()
        .filter_map(|i| {
            let (summary, strain) = (found.report.sequences.get(i)?, found.report.strain.get(i)?);
            Some(vec![
                named(i, summary),
                percent(summary.shares.cleared),
                format!(
                    "{}-{}",
                    percent(summary.cleared_low),
                    percent(summary.cleared_high)
                ),
                percent(summary.shares.switched),
                format!("{:.0}", strain.duration_s),
                format!("{:.0}", strain.lowest_head_deg),
                format!("{:.0}", strain.inverted_s),
                format!("{:.0}", strain.turning_deg),
            ])
        })
        .collect();
    let left = rows.len().saturating_sub(MOST_ROWS);
    let mut parts = vec![
        ReportPart::Heading("What it asks of the patient".to_owned()),
        ReportPart::Table(PaperTable {
            head: head.map(str::to_owned).to_vec(),
            rows: rows.into_iter().take(MOST_ROWS).collect(),
        }),
        ReportPart::Paragraph(
            "Cleared and switched of 100 ears; time in the chair; farthest that the crown is below the horizontal, and how long; all turning of the head."
                .to_owned(),
        ),
    ];
    if left > 0 {
        let words = format!("{left} more stand in the table of sequences.");
        parts.push(ReportPart::Paragraph(words));
    }
    parts
}

fn cautions(found: &Found) -> Vec<ReportPart> {
    let strain = || found.report.strain.iter();
    let lowest = strain().map(|s| s.lowest_head_deg).fold(0.0, f64::max);
    let fast = strain().any(|s| s.fastest_deg_s > THROW_DEG_S);
    let bedside = found.study.sequences.iter().any(|s| {
        matches!(
            s.scenario.body,
            Some(lithodrome_rehearsal::Carrier::Bedside { .. })
        )
    });
    let mut points = usual_cautions(lowest, fast, bedside);
    points.push(
        "A share is of modelled ears. Whether a sequence may be done with a patient is not a question that this report answers."
            .to_owned(),
    );
    vec![
        ReportPart::Heading("Cautions".to_owned()),
        ReportPart::Points(points),
    ]
}

fn curve(found: &Found) -> Vec<ReportPart> {
    let curves = found.report.sequences.iter().take(4).enumerate();
    let curves = curves.map(|(i, summary)| {
        let of = || summary.convergence.iter();
        PaperCurve {
            name: letter(i),
            points: of().map(|s| [s.of as f64, 100.0 * s.share]).collect(),
            band: of().map(|s| [100.0 * s.low, 100.0 * s.high]).collect(),
        }
    });
    vec![
        ReportPart::Heading("How the share settles".to_owned()),
        ReportPart::Curves(Curves {
            x_label: "ears".to_owned(),
            y_label: "cleared, of 100".to_owned(),
            y_range: [0.0, 100.0],
            x_is_logarithmic: true,
            curves: curves.collect(),
        }),
    ]
}

fn map(found: &Found) -> Vec<ReportPart> {
    let Some(sweep) = &found.report.sweep else {
        return Vec::new();
    };
    let texts = |i: usize| -> Vec<String> {
        let values = sweep.values.get(i).into_iter().flatten();
        values.map(f64::to_string).collect()
    };
    let label = |i: usize| {
        sweep
            .axes
            .get(i)
            .map_or_else(String::new, |a| words::input(a))
    };
    let rows = sweep.values.get(1).map_or(1, Vec::len);
    let columns = sweep.values.first().map_or(0, Vec::len);
    let number = |row: usize, column: usize| {
        let share = sweep.cleared.get(column * rows + row);
        share.map_or(0.0, |s| 100.0 * s.share)
    };
    let numbers = (0..rows).map(|row| (0..columns).map(|column| number(row, column)).collect());
    vec![
        ReportPart::Heading("Varied: cleared of 100".to_owned()),
        ReportPart::Map(Map {
            x_label: label(0),
            x_values: texts(0),
            y_label: label(1),
            y_values: texts(1),
            numbers: numbers.collect(),
            range: [0.0, 100.0],
        }),
    ]
}

fn what_decides(found: &Found) -> Vec<ReportPart> {
    let Some(first) = found.report.sequences.first() else {
        return Vec::new();
    };
    let told: Vec<String> = first
        .sensitivity
        .iter()
        .take(5)
        .map(|s| format!("{} {:.0} %", words::input(&s.input), 100.0 * s.first_order))
        .collect();
    let words = if told.is_empty() {
        "Too few ears, or all end alike: nothing can be said.".to_owned()
    } else {
        format!(
            "Share of the outcome's variance that each explains alone: {}.",
            told.join("; ")
        )
    };
    vec![
        ReportPart::Heading(format!("What decides with {}", letter(0))),
        ReportPart::Paragraph(words),
    ]
}

fn worst_ears(found: &Found) -> Vec<ReportPart> {
    let sequences = found.report.sequences.iter().take(2).enumerate();
    let rows: Vec<Vec<String>> = sequences
        .flat_map(|(i, summary)| {
            let row = move |w: &lithodrome_study::WorstEar| {
                vec![
                    format!("{}, ear {}", letter(i), w.index),
                    w.end.name().to_owned(),
                    w.region.clone(),
                ]
            };
            summary.worst.iter().take(4).map(row).collect::<Vec<_>>()
        })
        .collect();
    let failed: u64 = found.report.sequences.iter().map(|s| s.counts.failed).sum();
    let mut parts = vec![ReportPart::Heading("Worst ears".to_owned())];
    if rows.is_empty() {
        parts.push(ReportPart::Paragraph("None: all are cleared.".to_owned()));
    } else {
        let head = ["Ear", "end", "where"].map(str::to_owned).to_vec();
        parts.push(ReportPart::Table(PaperTable { head, rows }));
    }
    if failed > 0 {
        let words = format!("{failed} runs failed; they count as not cleared.");
        parts.push(ReportPart::Paragraph(words));
    }
    parts
}

fn assumed(found: &Found) -> Vec<ReportPart> {
    let mixture = &found.study.mixture;
    let judged = match found.study.file.judging {
        Judging::ControlIfBehind => {
            "Judged by where debris is after a minute of sitting; what is in a short arm then by the control test after 15 min upright."
        }
        Judging::AfterSitting => {
            "Judged by where debris is after a minute of sitting; in a short arm it counts as behind the cupula."
        }
        Judging::WithControl => {
            "Judged like a single run, through 15 min upright and the control test."
        }
    };
    let points = vec![
        judged.to_owned(),
        format!("Size: {}", mixture.debris.diameter_um.source),
        format!("Rolling: {}", mixture.debris.rolling_resistance.source),
        format!("Operator: {}", mixture.operator.chair_angle_sd_deg.source),
        "Intervals: Wilson's at 95 %, of a difference Newcombe's in the same ears; they leave out whatever the model itself has wrong.".to_owned(),
    ];
    vec![
        ReportPart::Heading("What it rests on".to_owned()),
        ReportPart::Points(points),
    ]
}
