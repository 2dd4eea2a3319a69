//! Every published finding and outcome over a population: the document of `findings`.

use lithodrome_debris::Engine;
use rayon::prelude::*;
use serde::Serialize;

use super::courses::Courses;
use super::observation::Observation;
use super::observe::observe_ear;
use super::observe_throws::observe_typical;
use super::published::{Kind, Outcome, Published, Stage};
use super::tally::{Tally, other_way, tally};
use crate::StudyError;
use crate::members::{Member, MemberEars};
use crate::runs::pool;

/// What is asked.
#[derive(Clone, Debug)]
pub struct FindingsAsked {
    /// Ears.
    pub ears: u32,
    /// Seed of everything that is drawn.
    pub seed: u32,
    /// Which engine computes what is seen; where single clumps end is always the settling one's.
    pub engine: Engine,
    /// Sets of the unmeasured numbers, taken in turn; not empty.
    pub members: Vec<Member>,
    /// Threads; as many as there are processors if left out.
    pub threads: Option<usize>,
}

/// The document.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FindingsReport {
    /// Version of the format, 1.
    pub format: u32,
    /// Ears.
    pub ears: u32,
    /// Seed.
    pub seed: u32,
    /// Name of the engine.
    pub engine: &'static str,
    /// Sets of the unmeasured numbers that were taken in turn.
    pub members: usize,
    /// Ears that could not be built or run.
    pub failed: u32,
    /// Positional findings.
    pub rows: Vec<FindingRow>,
    /// Outcomes of treatments, times and strengths.
    pub outcomes: Vec<OutcomeRow>,
}

/// One positional finding.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FindingRow {
    /// Its name.
    pub id: String,
    /// Test, step, canal and place.
    pub test: String,
    /// Published direction.
    pub want: String,
    /// Published share, least and most.
    pub published: [f64; 2],
    /// Share of ears that show it.
    pub share: f64,
    /// Lower end of its interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Share of ears that show the opposite.
    pub other_way: f64,
    /// The interval reaches what is published.
    pub holds: bool,
    /// What is to be said about it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// One other outcome.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OutcomeRow {
    /// Its name.
    pub id: String,
    /// In words.
    pub what: String,
    /// Whether it is a share, a median or a value.
    pub kind: &'static str,
    /// Published, least and most.
    pub published: [f64; 2],
    /// Ours.
    pub value: f64,
    /// Lower end of its interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Ears that it could be told in.
    pub of: usize,
    /// Distance from print in standard deviations of print, model and sampling.
    pub distance: f64,
    /// It was given to the matching that chose the members.
    pub given: bool,
    /// The interval reaches what is published, or it is within one stated model error.
    pub holds: bool,
    /// Who published it.
    pub source: String,
}

/// Computes the document.
pub fn findings(asked: &FindingsAsked) -> Result<FindingsReport, StudyError> {
    let published = Published::shipped()?;
    let ears = MemberEars::new(asked.seed)?;
    let courses = Courses::new(asked.ears, asked.seed)?;
    let pool = pool(asked.threads)?;
    let all: Vec<Option<Observation>> = pool.install(|| {
        (0..asked.ears)
            .into_par_iter()
            .map(|index| {
                let member = &asked.members[index as usize % asked.members.len()];
                let case = ears.ear(member, index).ok()?;
                let rows = &published.rows;
                observe_ear(&courses, rows, &case, index, asked.engine, &|_| true).ok()
            })
            .collect()
    });
    let failed = all.iter().filter(|o| o.is_none()).count() as u32;
    let all: Vec<Observation> = all.into_iter().flatten().collect();
    let typical: Vec<Observation> = asked
        .members
        .iter()
        .filter_map(|member| observe_typical(&courses, &ears.typical(member).ok()?).ok())
        .collect();
    let tallied = |outcome: &Outcome| match outcome.stage {
        Stage::Population => tally(outcome, &all),
        Stage::Typical => tally(outcome, &typical),
    };
    let rows = published.rows.iter().filter_map(|row| {
        let outcome = published.outcome(&row.id())?;
        let found = tallied(outcome)?;
        Some(FindingRow {
            id: row.id(),
            test: format!(
                "{}, step {}, {} canal, {}",
                row.entry, row.step, row.canal, row.place
            ),
            want: row.want(),
            published: [outcome.least, outcome.most],
            share: found.value,
            low: found.low,
            high: found.high,
            other_way: other_way(&row.id(), &all).unwrap_or(0.0),
            holds: reaches(outcome, &found),
            note: row.note.clone(),
        })
    });
    let others = published
        .outcomes
        .iter()
        .filter(|o| !o.id.starts_with("row_"))
        .filter_map(|outcome| {
            let found = tallied(outcome)?;
            Some(OutcomeRow {
                id: outcome.id.clone(),
                what: outcome.what.clone(),
                kind: match outcome.kind {
                    Kind::Share => "share",
                    Kind::Median => "median",
                    Kind::Value => "value",
                },
                published: [outcome.least, outcome.most],
                value: found.value,
                low: found.low,
                high: found.high,
                of: found.of,
                distance: outcome.distance(found.value, found.sampling),
                given: outcome.given,
                holds: reaches(outcome, &found)
                    || outcome.distance(found.value, found.sampling) <= 1.0,
                source: outcome.source.clone(),
            })
        });
    Ok(FindingsReport {
        format: 1,
        ears: asked.ears,
        seed: asked.seed,
        engine: match asked.engine {
            Engine::Settling => "settling",
            Engine::Rigid => "rigid",
        },
        members: asked.members.len(),
        failed,
        rows: rows.collect(),
        outcomes: others.collect(),
    })
}

/// The interval and what is published have something in common.
fn reaches(outcome: &Outcome, found: &Tally) -> bool {
    found.high >= outcome.least && found.low <= outcome.most
}
