//! What a study found, as one document.

use serde::Serialize;
use std::collections::BTreeMap;

use lithodrome_rehearsal::CAUTION;

use super::Study;
use crate::StudyError;
use crate::robustness::{Shares, Summary, summary};
use crate::runs::Row;
use crate::statistics::Share;

/// The document. The first sequence stands at the top, all of them in `sequences`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StudyReport {
    /// Version of the format, 1.
    pub format: u32,
    /// Version of the program.
    pub version: &'static str,
    /// What it is not.
    pub caution: &'static str,
    /// Title of the study.
    pub title: String,
    /// Ears.
    pub n: u32,
    /// Seed.
    pub seed: u32,
    /// Title of the mixture.
    pub mixture: String,
    /// Side and canal.
    pub canal: String,
    /// Shares of the first sequence.
    pub shares: Shares,
    /// Lower end of the interval of its share cleared.
    pub cleared_low: f64,
    /// Upper end.
    pub cleared_high: f64,
    /// Where those are that switched.
    pub switched_to: BTreeMap<String, Share>,
    /// All sequences.
    pub sequences: Vec<Summary>,
    /// How long it took, s; not in files, which are the same however long that was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seconds: Option<f64>,
}

/// Sums up all rows of a study.
pub fn report(study: &Study, rows: &[Row]) -> Result<StudyReport, StudyError> {
    let question = study.question()?;
    let sequences: Vec<Summary> = question
        .sequences
        .iter()
        .enumerate()
        .map(|(i, sequence)| {
            let mine: Vec<&Row> = rows.iter().filter(|r| r.sequence as usize == i).collect();
            summary(&question.population, question.canal, &sequence.name, &mine)
        })
        .collect();
    let Some(first) = sequences.first() else {
        return Err(StudyError::field("sequences", &0, &"1 or more"));
    };
    Ok(StudyReport {
        format: super::STUDY_FORMAT,
        version: env!("CARGO_PKG_VERSION"),
        caution: CAUTION,
        title: study.file.title.clone(),
        n: study.file.n,
        seed: study.file.seed,
        mixture: study.mixture.title.clone(),
        canal: study.canal().name(),
        shares: first.shares,
        cleared_low: first.cleared_low,
        cleared_high: first.cleared_high,
        switched_to: first.switched_to.clone(),
        sequences,
        seconds: None,
    })
}
