//! A sheet as a file; the ending of its name says which kind.

use std::path::Path;

use lithodrome_rehearsal::write_whole;

use super::content::Sheet;
use super::layout::pages_of;
use super::mark::Paper;
use super::pdf::pdf_of;
use super::svg::svg_of;
use crate::VisitError;

/// Writes a sheet as PDF or SVG, complete or not at all.
///
/// # Errors
/// Another ending; a place that cannot be written to.
pub fn write_sheet(sheet: &Sheet, paper: Paper, path: &Path) -> Result<(), VisitError> {
    let ending = path
        .extension()
        .map(|e| e.to_string_lossy().to_lowercase())
        .unwrap_or_default();
    let pages = pages_of(sheet, paper);
    let bytes = match ending.as_str() {
        "pdf" => pdf_of(&pages, &sheet.title)?,
        "svg" => svg_of(&pages, &sheet.title).into_bytes(),
        _ => {
            return Err(VisitError::SheetEnding {
                path: path.to_owned(),
                found: if ending.is_empty() {
                    "no ending".to_owned()
                } else {
                    format!(".{ending}")
                },
            });
        }
    };
    Ok(write_whole(path, |w| w.write_all(&bytes))?)
}
