//! A report set on pages.

use super::content::{Report, ReportPart};
use super::{pictures, table};
use crate::sheet::{Page, Paper, Setting, TEXT, TITLE, Type};

/// The pages of a report.
pub fn report_pages(report: &Report, paper: Paper) -> Vec<Page> {
    let mut setting = Setting::new(paper);
    setting.write(&report.title, TITLE, 0.0);
    setting.write(&report.subtitle, TEXT, 0.0);
    setting.y += 6.0;
    for part in &report.parts {
        match part {
            ReportPart::Heading(text) => setting.heading(text),
            ReportPart::Strong(text) => setting.write(text, Type::bold(10.5), 0.0),
            ReportPart::Paragraph(text) => setting.write(text, TEXT, 0.0),
            ReportPart::Points(points) => points.iter().for_each(|p| setting.point(p)),
            ReportPart::Table(of) => table::table(&mut setting, of),
            ReportPart::Dots(arrays) => pictures::dots(&mut setting, arrays),
            ReportPart::Curves(of) => pictures::curves(&mut setting, of),
            ReportPart::Map(of) => pictures::map(&mut setting, of),
            ReportPart::PageBreak => setting.break_page(),
        }
    }
    setting.finish(&report.title)
}
