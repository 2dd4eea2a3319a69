//! A report as a PDF file.

use std::path::Path;

use lithodrome_rehearsal::write_whole;

use super::content::Report;
use super::pages::report_pages;
use crate::VisitError;
use crate::sheet::{Paper, pdf_of};

/// Writes a report as PDF, complete or not at all.
///
/// # Errors
/// A place that cannot be written to.
pub fn write_report(report: &Report, paper: Paper, path: &Path) -> Result<(), VisitError> {
    let bytes = pdf_of(&report_pages(report, paper), &report.title)?;
    Ok(write_whole(path, |w| w.write_all(&bytes))?)
}
