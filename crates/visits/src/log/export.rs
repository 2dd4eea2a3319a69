//! The log as a table for other programs.

use std::path::Path;

use lithodrome_rehearsal::write_whole;

use super::entry::Visit;
use super::error::LogError;
use super::store::{Log, LoggedVisit};

/// Kind of table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Table {
    /// Comma-separated values in UTF-8 (RFC 4180).
    #[default]
    Csv,
    /// The same for spreadsheet programs: with a mark that says it is UTF-8, and no cell that begins a
    /// formula.
    Spreadsheet,
}

const HEADER: [&str; 10] = [
    "visit",
    "date",
    "home",
    "patient",
    "minutes",
    "tests_seen",
    "affected",
    "treatments",
    "ends",
    "switched_to",
];

/// Writes one row a visit; several entries of a cell are set off by semicolons.
pub fn export_log(log: &Log, table: Table, path: &Path) -> Result<(), LogError> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    let fault = |e: &dyn std::fmt::Display| {
        LogError::File(crate::VisitError::Write {
            path: path.to_owned(),
            reason: e.to_string(),
        })
    };
    writer.write_record(HEADER).map_err(|e| fault(&e))?;
    for logged in log.visits()? {
        let cells = row(&logged).map(|cell| match table {
            Table::Csv => cell,
            Table::Spreadsheet => harmless(cell),
        });
        writer.write_record(cells).map_err(|e| fault(&e))?;
    }
    let rows = writer.into_inner().map_err(|e| fault(&e))?;
    let mark: &[u8] = match table {
        Table::Csv => b"",
        Table::Spreadsheet => b"\xef\xbb\xbf",
    };
    let mut bytes = mark.to_vec();
    bytes.extend(rows);
    write_whole(path, |w| w.write_all(&bytes)).map_err(crate::VisitError::from)?;
    Ok(())
}

fn row(LoggedVisit { id, visit }: &LoggedVisit) -> [String; 10] {
    let Visit {
        date,
        home,
        patient,
        minutes,
        seen,
        affected,
        treatments,
    } = visit;
    let joined = |parts: Vec<String>| parts.join("; ");
    [
        id.to_string(),
        date.to_string(),
        home.to_string(),
        patient.to_string(),
        minutes.to_string(),
        joined(
            seen.iter()
                .map(|s| format!("{}: {}", s.test, s.words))
                .collect(),
        ),
        joined(
            affected
                .iter()
                .map(|a| format!("{}, {}", a.id().name(), a.mechanism.name()))
                .collect(),
        ),
        joined(treatments.iter().map(|t| t.manoeuvre.clone()).collect()),
        joined(treatments.iter().map(|t| t.end.name().to_owned()).collect()),
        joined(
            treatments
                .iter()
                .map(|t| {
                    t.end
                        .switched_to()
                        .map_or("", lithodrome_labyrinth::Canal::name)
                        .to_owned()
                })
                .collect(),
        ),
    ]
}

/// A cell that a spreadsheet takes for text.
fn harmless(cell: String) -> String {
    if cell.starts_with(['=', '+', '-', '@', '\t']) {
        format!("'{cell}")
    } else {
        cell
    }
}
