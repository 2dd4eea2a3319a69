//! Sequences in the engine, in every canal that a search is about.

use std::ops::ControlFlow;

use super::file::{DrawnFor, Search, SearchAim, SearchCase};
use super::stage::{SearchProgress, SearchStage};
use crate::StudyError;
use crate::population::Population;
use crate::runs::{Judging, Question, Row, RunEnd, Sequence, compute};
use crate::statistics::Share;

/// The ears of one kind, ready to be asked.
pub(super) struct InEngine<'a> {
    search: &'a Search,
    population: Population,
    threads: Option<usize>,
}

impl<'a> InEngine<'a> {
    pub(super) fn new(
        search: &'a Search,
        of: DrawnFor,
        threads: Option<usize>,
    ) -> Result<InEngine<'a>, StudyError> {
        Ok(InEngine {
            search,
            population: search.population(of)?,
            threads,
        })
    }

    /// What is asked of one canal.
    pub(super) fn questions(&self, sequences: &[Sequence]) -> Vec<Question> {
        let canals = self.search.file.case.canals().into_iter();
        canals
            .map(|canal| Question {
                population: self.population.clone(),
                canal,
                sequences: sequences.to_vec(),
                judging: Judging::AfterSitting,
                in_lanes: true,
                misses_of: 0,
            })
            .collect()
    }

    /// The same rows by the aim of the search, of which "cleared" is then the word for success.
    pub(super) fn aimed(
        &self,
        sequences: &[Sequence],
        n: u32,
        stage: SearchStage,
        progress: &SearchProgress,
    ) -> Result<Vec<Vec<Row>>, StudyError> {
        let mut all = self.rows(sequences, n, stage, progress)?;
        for rows in &mut all {
            aim(rows, self.search.file.aim);
        }
        Ok(all)
    }

    /// Rows of every sequence in the first `n` ears, `[sequence]`: of one canal ear by ear, of a canal that is
    /// not known canal by canal, of both ears the worse one of each patient.
    pub(super) fn rows(
        &self,
        sequences: &[Sequence],
        n: u32,
        stage: SearchStage,
        progress: &SearchProgress,
    ) -> Result<Vec<Vec<Row>>, StudyError> {
        let questions = self.questions(sequences);
        let of = questions.len() as u32 * n;
        let mut all: Vec<Vec<Row>> = vec![Vec::new(); sequences.len()];
        for (question, before) in questions.iter().zip((0..).step_by(n.max(1) as usize)) {
            let tell =
                |done: u32, _: u32| -> ControlFlow<()> { progress(stage, before + done, of) };
            let rows = compute(question, 0..n, self.threads, &tell)?;
            let mut of_canal: Vec<Vec<Row>> = vec![Vec::new(); sequences.len()];
            for row in rows {
                of_canal[row.sequence as usize].push(row);
            }
            for (all, rows) in all.iter_mut().zip(of_canal) {
                if before > 0 && matches!(self.search.file.case, SearchCase::BothEars(_)) {
                    for (known, row) in all.iter_mut().zip(rows) {
                        if is_worse(&row, known) {
                            *known = row;
                        }
                    }
                } else {
                    all.extend(rows);
                }
            }
        }
        Ok(all)
    }
}

/// Calls rows by an aim: what is in a short arm is out of the long one.
pub(super) fn aim(rows: &mut [Row], aim: SearchAim) {
    if aim == SearchAim::Cleared {
        return;
    }
    for row in rows {
        if let Ok(end) = &mut row.end
            && end.word == RunEnd::BehindCupula
        {
            end.word = RunEnd::Cleared;
        }
    }
}

/// A run that failed is worse than any that did not.
fn is_worse(row: &Row, than: &Row) -> bool {
    match (&row.end, &than.end) {
        (Ok(row), Ok(than)) => row.word > than.word,
        (Err(_), Ok(_)) => true,
        (_, Err(_)) => false,
    }
}

/// Share of the rows that are cleared, with its interval.
pub(super) fn cleared(rows: &[Row]) -> Share {
    Share::of_ears(rows.iter().map(|row| (row.index, row.is_cleared())))
}
