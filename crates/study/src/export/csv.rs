//! A table as CSV: lines that begin with `#` say where it is from, then a header, then the rows.

use std::path::Path;

use super::table::{Column, Values, columns, provenance};
use crate::StudyError;
use crate::runs::Row;
use crate::study_file::Study;

/// Writes all rows of a study.
pub fn write_csv(study: &Study, rows: &[Row], path: &Path) -> Result<(), StudyError> {
    write_columns(&columns(study, rows)?, &provenance(study), path)
}

/// Writes columns of one length.
pub(super) fn write_columns(
    columns: &[Column],
    provenance: &[(String, String)],
    path: &Path,
) -> Result<(), StudyError> {
    let rows = columns.first().map_or(0, |column| column.values.len());
    lithodrome_rehearsal::write_whole(path, |out| {
        for (name, value) in provenance {
            writeln!(out, "# {name}: {value}")?;
        }
        let mut table = csv::Writer::from_writer(out);
        table.write_record(columns.iter().map(|c| c.name.as_str()))?;
        for i in 0..rows {
            table.write_record(columns.iter().map(|column| match &column.values {
                Values::Whole(values) => values[i].map(|v| v.to_string()).unwrap_or_default(),
                // The shortest text that is read back as the same number.
                Values::Number(values) => values[i].map(|v| v.to_string()).unwrap_or_default(),
                Values::Text(values) => values[i].clone().unwrap_or_default(),
            }))?;
        }
        table.flush()
    })?;
    Ok(())
}
