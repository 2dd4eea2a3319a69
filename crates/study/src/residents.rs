//! A resident who follows the textbook, on many hidden cases: how often he names them.

use lithodrome_rehearsal::{
    Diagnosis, Difficulty, HiddenCase, Marks, Patience, Patient, RehearsalError, cure, named_by,
    test_acts,
};
use rayon::prelude::*;

use crate::StudyError;

/// What became of one case.
#[derive(Clone, Debug, PartialEq)]
pub struct ResidentRow {
    /// Seed of the case.
    pub seed: u64,
    /// The case, without its run.
    pub case: HiddenCase,
    /// What the resident named.
    pub named: Diagnosis,
    /// Which parts of it are right.
    pub marks: Marks,
    /// Manoeuvres of the library that clear it, if that was asked for and something does.
    pub cured_by: Option<Vec<&'static str>>,
    /// It did so with longer holds than the library's.
    pub long_holds: bool,
}

/// How a row of cases is worked through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Residents {
    /// First seed.
    pub first: u64,
    /// How many seeds.
    pub count: u64,
    /// Of this difficulty whatever the seed says, if given.
    pub difficulty: Option<Difficulty>,
    /// How long the resident waits.
    pub patience: Patience,
    /// Also look for a manoeuvre that clears the case.
    pub treat: bool,
}

/// A row, or the seed of a case that could not be computed and why.
pub type ResidentResult = Result<ResidentRow, (u64, Box<RehearsalError>)>;

/// Works through the cases on `threads` threads (as many as there are processors if left out); the rows
/// are in the order of the seeds and the same for any number of threads.
pub fn residents(
    asked: Residents,
    threads: Option<usize>,
    progress: &(dyn Fn() + Sync),
) -> Result<Vec<ResidentResult>, StudyError> {
    let threads = threads.unwrap_or(0);
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .map_err(|e| StudyError::Threads {
            found: threads,
            reason: e.to_string(),
        })?;
    let seeds = asked.first..asked.first.saturating_add(asked.count);
    Ok(pool.install(|| {
        seeds
            .into_par_iter()
            .map(|seed| {
                let row = row(seed, asked).map_err(|error| (seed, Box::new(error)));
                progress();
                row
            })
            .collect()
    }))
}

fn row(seed: u64, asked: Residents) -> Result<ResidentRow, RehearsalError> {
    let case = match asked.difficulty {
        Some(difficulty) => HiddenCase::drawn(seed, difficulty),
        None => HiddenCase::of_seed(seed),
    };
    let patient = Patient::with(&case)?;
    let session = patient.run(&test_acts(asked.patience))?;
    let named = named_by(&session.seen);
    let cure = if asked.treat {
        cure(&patient, &[])?
    } else {
        None
    };
    Ok(ResidentRow {
        seed,
        marks: named.against(&case.truth),
        case,
        named,
        long_holds: cure.as_ref().is_some_and(|cure| cure.least_hold_s > 0.0),
        cured_by: cure.map(|cure| cure.manoeuvres),
    })
}
