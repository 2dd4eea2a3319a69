//! What is kept of a learner on this machine: a code, results, what to repeat. No name, and nothing leaves
//! the machine.

use std::path::Path;

use serde::{Deserialize, Serialize};

use super::results::{ResultKind, ResultRow};
use super::reviews::Reviews;
use crate::error::{FieldError, RehearsalError};
use crate::files::{read_text, write_whole};

/// Version of the format.
const FORMAT: u32 = 1;

/// The longest code.
const MOST_LETTERS: usize = 24;

/// A learner's own file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Learner {
    /// Version of the format, 1.
    pub format: u32,
    /// A code of the learner's choice.
    pub code: String,
    /// What was done, in order.
    pub results: Vec<ResultRow>,
    /// What to repeat.
    pub reviews: Reviews,
}

impl Learner {
    /// A learner who has done nothing yet.
    ///
    /// # Errors
    /// The code has other signs than letters, digits and hyphens, or none, or too many.
    pub fn new(code: &str) -> Result<Learner, FieldError> {
        let good = |c: char| c.is_ascii_alphanumeric() || c == '-';
        if code.is_empty() || code.len() > MOST_LETTERS || !code.chars().all(good) {
            return Err(FieldError::new(
                "code",
                &format!("\"{code}\""),
                format!("1 to {MOST_LETTERS} letters, digits and hyphens"),
            ));
        }
        Ok(Learner {
            format: FORMAT,
            code: code.to_owned(),
            results: Vec::new(),
            reviews: Reviews::default(),
        })
    }

    /// Takes in a result. What was it is the thing to repeat.
    pub fn add(&mut self, row: ResultRow) {
        self.reviews
            .answered(&row.truth, row.is_right(), row.at_unix_s);
        self.results.push(row);
    }

    /// What is due at a time, s since 1970, the longest overdue first: the last result of each.
    pub fn to_repeat(&self, now_unix_s: i64) -> Vec<&ResultRow> {
        let due = self.reviews.due(now_unix_s).into_iter();
        due.filter_map(|thing| self.results.iter().rfind(|row| row.truth == thing))
            .collect()
    }

    /// The first seed after all recordings that were read.
    pub fn next_reading(&self) -> u64 {
        let read = self
            .results
            .iter()
            .filter(|row| row.kind == ResultKind::Reading);
        read.map(|row| row.seed.saturating_add(1))
            .max()
            .unwrap_or(0)
    }

    /// What was read and what it was, in order.
    pub fn readings(&self) -> Vec<(&str, &str)> {
        let read = self
            .results
            .iter()
            .filter(|row| row.kind == ResultKind::Reading);
        read.map(|row| (row.named.as_str(), row.truth.as_str()))
            .collect()
    }

    /// The results of one kind, in order.
    pub fn results_of(&self, kind: ResultKind) -> Vec<ResultRow> {
        let of_kind = self.results.iter().filter(|row| row.kind == kind);
        of_kind.cloned().collect()
    }
}

/// Reads a learner's file.
pub fn read_learner(path: &Path) -> Result<Learner, RehearsalError> {
    let text = read_text(path)?;
    let learner: Learner = serde_json::from_str(&text).map_err(|error| RehearsalError::Syntax {
        path: path.to_owned(),
        line: error.line(),
        column: error.column(),
        reason: error.to_string(),
    })?;
    if learner.format != FORMAT {
        return Err(RehearsalError::Format {
            path: path.to_owned(),
            found: learner.format,
            allowed: FORMAT,
        });
    }
    // A code of another form could name a file elsewhere.
    let known = path
        .file_stem()
        .is_some_and(|stem| stem == learner.code.as_str());
    Learner::new(&learner.code).map_err(|error| in_file(path, error))?;
    if !known {
        let allowed = "the name of the file".to_owned();
        let error = FieldError::new("code", &format!("\"{}\"", learner.code), allowed);
        return Err(in_file(path, error));
    }
    Ok(learner)
}

fn in_file(path: &Path, error: FieldError) -> RehearsalError {
    RehearsalError::Field {
        path: Some(path.to_owned()),
        error,
    }
}

/// Writes a learner's file.
pub fn write_learner(path: &Path, learner: &Learner) -> Result<(), RehearsalError> {
    let text = serde_json::to_string_pretty(learner).map_err(|error| RehearsalError::Write {
        path: path.to_owned(),
        reason: error.to_string(),
    })?;
    write_whole(path, |file| {
        std::io::Write::write_all(file, text.as_bytes())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_learner_is_kept_by_code() {
        let mut learner = Learner::new("KV-07").unwrap();
        learner.add(ResultRow {
            learner: "KV-07".to_owned(),
            at_unix_s: 1_700_000_000,
            kind: ResultKind::Reading,
            seed: 3,
            difficulty: None,
            truth: "upbeating".to_owned(),
            named: "downbeating".to_owned(),
            points: 0,
            of: 1,
        });
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("KV-07.json");
        write_learner(&path, &learner).unwrap();
        let again = read_learner(&path).unwrap();
        assert_eq!(again.reviews.due(1_700_000_000 + 86_400), ["upbeating"]);
        let repeat = again.to_repeat(1_700_000_000 + 86_400);
        assert_eq!(repeat.iter().map(|row| row.seed).collect::<Vec<_>>(), [3]);
        assert!(again.to_repeat(1_700_000_000 - 1).is_empty());
        assert_eq!(again.next_reading(), 4);
        assert_eq!(again.readings(), [("downbeating", "upbeating")]);
        assert_eq!((again.code, again.results), (learner.code, learner.results));
        for code in ["", "A name", "../x"] {
            assert!(Learner::new(code).is_err(), "{code}");
        }
    }
}
