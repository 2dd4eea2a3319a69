//! What a study found, as tables that can be read: one row a sequence, point of the grid, input or ear.

use std::path::Path;

use super::table::{Column, Values, provenance};
use super::{csv, parquet};
use crate::StudyError;
use crate::runs::RunEnd;
use crate::statistics::Share;
use crate::study_file::{Study, StudyReport};

/// One of the tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SummaryTable {
    /// Shares, what the sequence asks of a patient and how it does beside the first; one row a sequence.
    Sequences,
    /// Share cleared among the first ears; one row a sequence and number of ears.
    Convergence,
    /// Shares over the grid of a sweep; one row a point.
    Grid,
    /// How much each input decides; one row a sequence and input.
    Inputs,
    /// The worst ears; one row a sequence and ear.
    WorstEars,
}

/// Writes one of the tables; the ending of the file's name, `.csv` or `.parquet`, says as what.
pub fn write_summary(
    study: &Study,
    report: &StudyReport,
    table: SummaryTable,
    path: &Path,
) -> Result<(), StudyError> {
    let columns = match table {
        SummaryTable::Sequences => sequences(report),
        SummaryTable::Convergence => convergence(report),
        SummaryTable::Grid => grid(report),
        SummaryTable::Inputs => inputs(report),
        SummaryTable::WorstEars => worst_ears(report),
    };
    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("csv") => csv::write_columns(&columns, &provenance(study), path),
        Some("parquet") => parquet::write_columns(&columns, &provenance(study), path),
        _ => Err(StudyError::Write {
            path: path.to_owned(),
            reason: "allowed is a name that ends in .csv or .parquet".to_owned(),
        }),
    }
}

fn column(name: &str, values: Values) -> Column {
    Column {
        name: name.to_owned(),
        values,
    }
}

fn text<T>(name: &str, rows: &[T], value: impl Fn(&T) -> String) -> Column {
    column(
        name,
        Values::Text(rows.iter().map(|r| Some(value(r))).collect()),
    )
}

fn number<T>(name: &str, rows: &[T], value: impl Fn(&T) -> Option<f64>) -> Column {
    column(name, Values::Number(rows.iter().map(value).collect()))
}

fn whole<T>(name: &str, rows: &[T], value: impl Fn(&T) -> u64) -> Column {
    let value = |row: &T| i32::try_from(value(row)).ok();
    column(name, Values::Whole(rows.iter().map(value).collect()))
}

fn sequences(report: &StudyReport) -> Vec<Column> {
    let rows: Vec<usize> = (0..report.sequences.len()).collect();
    let of = |i: &usize| &report.sequences[*i];
    let strain = |i: &usize| report.strain.get(*i);
    // The first one is beside nothing.
    let beside = |i: &usize| report.compared.get(i.checked_sub(1)?);
    let mut columns = vec![
        text("sequence", &rows, |i| of(i).sequence.clone()),
        whole("ears", &rows, |i| of(i).n),
        whole("cleared", &rows, |i| of(i).counts.cleared),
        whole("behind_the_cupula", &rows, |i| of(i).counts.behind_cupula),
        whole("inside", &rows, |i| of(i).counts.inside),
        whole("held", &rows, |i| of(i).counts.held),
        whole("passing", &rows, |i| of(i).counts.passing),
        whole("switched", &rows, |i| of(i).counts.switched),
        whole("failed", &rows, |i| of(i).counts.failed),
        number("cleared_share", &rows, |i| Some(of(i).shares.cleared)),
        number("cleared_share_low", &rows, |i| Some(of(i).cleared_low)),
        number("cleared_share_high", &rows, |i| Some(of(i).cleared_high)),
    ];
    columns.extend([
        number("chair_time_s", &rows, |i| Some(strain(i)?.duration_s)),
        number("lowest_head_deg", &rows, |i| {
            Some(strain(i)?.lowest_head_deg)
        }),
        number("inverted_s", &rows, |i| Some(strain(i)?.inverted_s)),
        number("turning_deg", &rows, |i| Some(strain(i)?.turning_deg)),
        number("fastest_deg_s", &rows, |i| Some(strain(i)?.fastest_deg_s)),
        number("difference_to_first", &rows, |i| {
            Some(beside(i)?.cleared.difference)
        }),
        number("difference_low", &rows, |i| Some(beside(i)?.cleared.low)),
        number("difference_high", &rows, |i| Some(beside(i)?.cleared.high)),
    ]);
    columns
}

/// Share, low and high under these names.
fn share_columns<T>(name: &str, rows: &[T], share: impl Fn(&T) -> Share) -> [Column; 3] {
    [
        number(&format!("{name}_share"), rows, |r| Some(share(r).share)),
        number(&format!("{name}_share_low"), rows, |r| Some(share(r).low)),
        number(&format!("{name}_share_high"), rows, |r| Some(share(r).high)),
    ]
}

fn convergence(report: &StudyReport) -> Vec<Column> {
    let rows: Vec<(&str, Share)> = report
        .sequences
        .iter()
        .flat_map(|s| s.convergence.iter().map(|c| (s.sequence.as_str(), *c)))
        .collect();
    let mut columns = vec![
        text("sequence", &rows, |r| r.0.to_owned()),
        whole("ears", &rows, |r| r.1.of),
    ];
    columns.extend(share_columns("cleared", &rows, |r| r.1));
    columns
}

fn grid(report: &StudyReport) -> Vec<Column> {
    let Some(sweep) = &report.sweep else {
        return Vec::new();
    };
    let rows: Vec<usize> = (0..sweep.cleared.len()).collect();
    // The last axis is innermost.
    let value = |axis: usize, point: usize| {
        let inner: usize = sweep.values[axis + 1..].iter().map(Vec::len).product();
        let values = &sweep.values[axis];
        values.get(point / inner.max(1) % values.len().max(1))
    };
    let mut columns: Vec<Column> = sweep
        .axes
        .iter()
        .enumerate()
        .map(|(axis, name)| number(name, &rows, |point| value(axis, *point).copied()))
        .collect();
    columns.push(whole("ears", &rows, |i| sweep.cleared[*i].of));
    columns.extend(share_columns("cleared", &rows, |i| sweep.cleared[*i]));
    columns.extend(share_columns("switched", &rows, |i| sweep.switched[*i]));
    columns
}

fn inputs(report: &StudyReport) -> Vec<Column> {
    let rows: Vec<(&str, &str, f64)> = report
        .sequences
        .iter()
        .flat_map(|s| {
            let of = |i: &'_ crate::robustness::Sensitivity| i.first_order;
            let name = s.sequence.as_str();
            s.sensitivity
                .iter()
                .map(move |i| (name, i.input.as_str(), of(i)))
        })
        .collect();
    vec![
        text("sequence", &rows, |r| r.0.to_owned()),
        text("input", &rows, |r| r.1.to_owned()),
        number("first_order_index", &rows, |r| Some(r.2)),
    ]
}

fn worst_ears(report: &StudyReport) -> Vec<Column> {
    let rows: Vec<(&str, u32, RunEnd, &str)> = report
        .sequences
        .iter()
        .flat_map(|s| {
            let name = s.sequence.as_str();
            s.worst
                .iter()
                .map(move |w| (name, w.index, w.end, w.region.as_str()))
        })
        .collect();
    vec![
        text("sequence", &rows, |r| r.0.to_owned()),
        whole("ear_index", &rows, |r| u64::from(r.1)),
        text("end", &rows, |r| r.2.name().to_owned()),
        text("end_region", &rows, |r| r.3.to_owned()),
    ]
}
