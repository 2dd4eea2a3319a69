//! Results of practice as rows, in and out as CSV.

use std::path::Path;

use serde::{Deserialize, Serialize};

use crate::error::RehearsalError;
use crate::files::{read_text, write_whole};
use crate::lesson::Difficulty;

/// What was practised.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ResultKind {
    /// A hidden case.
    Case,
    /// A recording of eyes.
    Reading,
}

/// One case or one recording, done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ResultRow {
    /// Code of the learner; no name.
    pub learner: String,
    /// When, s since 1970.
    pub at_unix_s: i64,
    /// Case or recording.
    pub kind: ResultKind,
    /// Seed of it.
    pub seed: u64,
    /// Difficulty of a case.
    pub difficulty: Option<Difficulty>,
    /// What it was, in words.
    pub truth: String,
    /// What was named, in words.
    pub named: String,
    /// Points of the score, or 1 for a word that is right.
    pub points: u32,
    /// Of how many.
    pub of: u32,
}

impl ResultRow {
    /// What was named is all of it.
    pub fn is_right(&self) -> bool {
        self.truth == self.named
    }
}

/// Writes rows as CSV.
pub fn write_results(path: &Path, rows: &[ResultRow]) -> Result<(), RehearsalError> {
    let mut table = csv::Writer::from_writer(Vec::new());
    let failed = |reason: String| RehearsalError::Write {
        path: path.to_owned(),
        reason,
    };
    for row in rows {
        table.serialize(row).map_err(|e| failed(e.to_string()))?;
    }
    let bytes = table.into_inner().map_err(|e| failed(e.to_string()))?;
    write_whole(path, |file| std::io::Write::write_all(file, &bytes))
}

/// Reads rows that [`write_results`] wrote.
pub fn read_results(path: &Path) -> Result<Vec<ResultRow>, RehearsalError> {
    let text = read_text(path)?;
    let mut table = csv::Reader::from_reader(text.as_bytes());
    table
        .deserialize()
        .map(|row| {
            row.map_err(|error: csv::Error| RehearsalError::Syntax {
                path: path.to_owned(),
                line: error.position().map_or(1, |p| p.line() as usize),
                column: 1,
                reason: error.to_string(),
            })
        })
        .collect()
}

/// What one learner did, summed up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LearnerSum {
    /// Code of the learner.
    pub learner: String,
    /// Cases done.
    pub cases: usize,
    /// Cases named right in all parts.
    pub cases_right: usize,
    /// Points of these cases.
    pub points: u32,
    /// Of how many.
    pub of: u32,
    /// Recordings read.
    pub readings: usize,
    /// Recordings read right.
    pub readings_right: usize,
}

/// One sum a learner, by code.
pub fn sums_by_learner(rows: &[ResultRow]) -> Vec<LearnerSum> {
    let mut codes: Vec<&str> = rows.iter().map(|row| row.learner.as_str()).collect();
    codes.sort_unstable();
    codes.dedup();
    let sum = |code: &str| {
        let mine = || rows.iter().filter(|row| row.learner == code);
        let of = |kind| mine().filter(move |row| row.kind == kind);
        LearnerSum {
            learner: code.to_owned(),
            cases: of(ResultKind::Case).count(),
            cases_right: of(ResultKind::Case).filter(|row| row.is_right()).count(),
            points: of(ResultKind::Case).map(|row| row.points).sum(),
            of: of(ResultKind::Case).map(|row| row.of).sum(),
            readings: of(ResultKind::Reading).count(),
            readings_right: of(ResultKind::Reading).filter(|row| row.is_right()).count(),
        }
    };
    codes.into_iter().map(sum).collect()
}

/// Share of rows that are right among the last `window` at every row from the `window`-th on.
pub fn share_right_over_time(rows: &[ResultRow], window: usize) -> Vec<f64> {
    let share = |rows: &[ResultRow]| {
        rows.iter().filter(|row| row.is_right()).count() as f64 / rows.len() as f64
    };
    rows.windows(window.max(1)).map(share).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_go_out_and_come_in_as_they_were() {
        let row = |seed, named: &str| ResultRow {
            learner: "KV-07".to_owned(),
            at_unix_s: 1_700_000_000,
            kind: ResultKind::Case,
            seed,
            difficulty: Some(Difficulty::Rare),
            truth: "no canal is ill".to_owned(),
            named: named.to_owned(),
            points: 3,
            of: 6,
        };
        let rows = [
            row(1, "no canal is ill"),
            row(2, "right \"lateral\", not sure"),
            ResultRow {
                kind: ResultKind::Reading,
                difficulty: None,
                ..row(3, "no canal is ill")
            },
        ];
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("results.csv");
        write_results(&path, &rows).unwrap();
        assert_eq!(read_results(&path).unwrap(), rows);
        assert_eq!(share_right_over_time(&rows, 2), [0.5, 0.5]);
        let sums = sums_by_learner(&rows);
        assert_eq!((sums.len(), sums[0].learner.as_str()), (1, "KV-07"));
        assert_eq!(
            (sums[0].cases, sums[0].cases_right, sums[0].readings_right),
            (2, 1, 1)
        );
        assert_eq!((sums[0].points, sums[0].of), (6, 12));
        std::fs::write(&path, "learner,at_unix_s\nx,y\n").unwrap();
        let message = read_results(&path).unwrap_err().to_string();
        assert!(message.contains("results.csv:2"), "{message}");
    }
}
