//! What a study found, as one document.

use std::collections::BTreeMap;
use std::sync::Arc;

use lithodrome_labyrinth::Labyrinth;
use lithodrome_rehearsal::{CAUTION, compile_in};

use serde::Serialize;

use super::Study;
use crate::StudyError;
use crate::paired::{Comparison, Strain, compare};
use crate::robustness::{Shares, Summary, summary};
use crate::runs::Row;
use crate::statistics::Share;
use crate::sweep::{SweepReport, sweep_report};

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
    /// What each asks of a patient, as written, `[sequence]`.
    pub strain: Vec<Strain>,
    /// The others beside the first, in the same ears.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub compared: Vec<Comparison>,
    /// The first one varied.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sweep: Option<SweepReport>,
    /// How long it took, s; not in files, which are the same however long that was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seconds: Option<f64>,
}

/// Sums up all rows of a study.
pub fn report(study: &Study, rows: &[Row]) -> Result<StudyReport, StudyError> {
    let question = study.question()?;
    let mut of_sequence: Vec<Vec<&Row>> = vec![Vec::new(); question.sequences.len()];
    for row in rows {
        if let Some(mine) = of_sequence.get_mut(row.sequence as usize) {
            mine.push(row);
        }
    }
    let named = study.file.sequences.len();
    let (compared_rows, grid_rows) = of_sequence.split_at(named);
    let names = question.sequences.iter().map(|s| s.name.as_str());
    let together: Vec<(&str, &Vec<&Row>)> = names.zip(compared_rows).collect();
    let sequences: Vec<Summary> = together
        .iter()
        .map(|(name, rows)| summary(&question.population, question.canal, name, rows))
        .collect();
    let beside =
        |(name, rows): &(&str, &Vec<&Row>)| compare((together[0].0, together[0].1), (name, rows));
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
        strain: strain(study)?,
        compared: together.iter().skip(1).map(beside).collect(),
        sweep: (!study.file.sweep.is_empty()).then(|| {
            let name = &study.file.sequences[0];
            sweep_report(name, &study.file.sweep, study.file.wanted, grid_rows)
        }),
        sequences,
        seconds: None,
    })
}

/// What each named sequence asks of a patient; the debris does not matter.
fn strain(study: &Study) -> Result<Vec<Strain>, StudyError> {
    let labyrinth = Arc::new(Labyrinth::build(&study.anatomy)?);
    let named = &study.sequences[..study.file.sequences.len()];
    named
        .iter()
        .map(|sequence| {
            let mut empty = sequence.scenario.clone();
            empty.debris.clear();
            Ok(Strain::of(
                &compile_in(&empty, Arc::clone(&labyrinth))?.motion,
            ))
        })
        .collect()
}
