//! What was searched for, as a part of the report: the sequence, beside a textbook one, and what each hold is for.

use lithodrome_study::Searched;
use lithodrome_visits::{PaperTable, ReportPart};

use super::words;

/// The part of the report; it begins a page of its own.
pub(super) fn searched_parts(searched: &Searched) -> Vec<ReportPart> {
    let report = &searched.report;
    let mut parts = vec![
        ReportPart::PageBreak,
        ReportPart::Heading("A new sequence".to_owned()),
        ReportPart::Paragraph(format!(
            "Searched for the {}: {}.",
            report.canal,
            report.limits.words()
        )),
    ];
    if report.found {
        parts.push(ReportPart::Strong(words::found(report)));
        if let Some(beside) = &report.beside {
            let words = format!("Beside {}: {}.", beside.title, beside.words);
            parts.push(ReportPart::Strong(words));
        }
        parts.push(ReportPart::Table(holds(searched)));
        let reasons = report.sequence.iter().zip(1..);
        let reasons = reasons.map(|(hold, i)| format!("{i}. {}", hold.reason.words));
        parts.push(ReportPart::Points(reasons.collect()));
    } else {
        parts.push(ReportPart::Strong("None was found.".to_owned()));
    }
    parts.push(ReportPart::Paragraph(report.why.clone()));
    parts
}

fn holds(searched: &Searched) -> PaperTable {
    let head = ["Hold", "yaw", "track", "move", "hold for"];
    let rows = searched.report.sequence.iter().zip(1..).map(|(hold, i)| {
        vec![
            format!("{i}. {}", hold.name),
            format!("{:.0}°", hold.yaw_deg),
            format!("{:.0}°", hold.track_deg),
            format!("{:.1} s", hold.move_s),
            format!("{:.0} s", hold.hold_s),
        ]
    });
    PaperTable {
        head: head.map(str::to_owned).to_vec(),
        rows: rows.collect(),
    }
}
