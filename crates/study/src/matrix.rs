//! Every manoeuvre against every case.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use lithodrome_labyrinth::{CanalId, Labyrinth};
use lithodrome_rehearsal::{
    Case, LibraryEntry, Load, Mechanism, Outcome, RehearsalError, SatOnly, outcome, outcome_beside,
    sat_only,
};
use rayon::prelude::*;

use crate::StudyError;
use crate::runs::pool;

/// What one manoeuvre does to one case.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// Name of the manoeuvre.
    pub manoeuvre: &'static str,
    /// The case.
    pub case: Case,
    /// The manoeuvre is meant for this canal and mechanism.
    pub intended: bool,
    /// What became of it.
    pub outcome: Outcome,
}

/// Both ears, all canals, all mechanisms with this load.
pub fn all_cases(load: Load) -> Vec<Case> {
    let of_canal = |canal| {
        Mechanism::ALL.map(|mechanism| Case {
            canal,
            mechanism,
            load,
        })
    };
    CanalId::ALL.into_iter().flat_map(of_canal).collect()
}

/// Runs every manoeuvre against every case, `[manoeuvre × case]`, cases innermost.
///
/// `threads` is as many as there are processors if left out; the result is the same for any number.
/// `progress` hears how many of how many runs are done, those of sitting alone too, from any thread.
pub fn matrix(
    labyrinth: &Arc<Labyrinth>,
    manoeuvres: &[LibraryEntry],
    cases: &[Case],
    threads: Option<usize>,
    progress: &(dyn Fn(usize, usize) + Sync),
) -> Result<Vec<Cell>, StudyError> {
    let pool = pool(threads)?;
    let pairs: Vec<(&LibraryEntry, usize)> = manoeuvres
        .iter()
        .flat_map(|m| (0..cases.len()).map(move |case| (m, case)))
        .collect();
    // Sitting alone is the same for all manoeuvres that begin alike.
    let starts = starts(manoeuvres);
    let all = pairs.len() + starts.len() * cases.len();
    let done = AtomicUsize::new(0);
    let one_more = || progress(done.fetch_add(1, Ordering::Relaxed) + 1, all);
    // Collected in the order of the pairs, whichever is done first.
    let cells = pool.install(|| {
        let rests: Vec<Result<SatOnly, RehearsalError>> = starts
            .par_iter()
            .flat_map(|start| cases.par_iter().map(move |case| (start, case)))
            .map(|(start, case)| {
                let sat = sat_only(labyrinth, case, &start.scenario);
                one_more();
                sat
            })
            .collect();
        pairs
            .par_iter()
            .map(|(manoeuvre, case)| {
                let start = starts
                    .iter()
                    .position(|start| begin_alike(start, manoeuvre));
                let rests = start.and_then(|start| rests.get(start * cases.len() + case));
                let cell = cell(labyrinth, manoeuvre, &cases[*case], rests);
                one_more();
                cell
            })
            .collect::<Vec<_>>()
    });
    cells.into_iter().collect()
}

/// One manoeuvre of each way to begin.
fn starts(manoeuvres: &[LibraryEntry]) -> Vec<&LibraryEntry> {
    let mut starts: Vec<&LibraryEntry> = Vec::new();
    for manoeuvre in manoeuvres {
        if !starts.iter().any(|start| begin_alike(start, manoeuvre)) {
            starts.push(manoeuvre);
        }
    }
    starts
}

/// Whether everything that sitting alone depends on is the same: all but the steps and what is said of them.
fn begin_alike(a: &LibraryEntry, b: &LibraryEntry) -> bool {
    let (a, b) = (&a.scenario, &b.scenario);
    (a.chair, a.body, a.seed, a.engine, &a.cupulae)
        == (b.chair, b.body, b.seed, b.engine, &b.cupulae)
}

fn cell(
    labyrinth: &Arc<Labyrinth>,
    manoeuvre: &LibraryEntry,
    case: &Case,
    rests: Option<&Result<SatOnly, RehearsalError>>,
) -> Result<Cell, StudyError> {
    let found = match rests {
        Some(Ok(rests)) => outcome_beside(labyrinth, case, &manoeuvre.scenario, rests),
        // What went wrong is told by the run itself.
        Some(Err(_)) | None => outcome(labyrinth, case, &manoeuvre.scenario),
    };
    let outcome = found.map_err(|error| StudyError::Run {
        manoeuvre: manoeuvre.name,
        canal: case.canal.name(),
        mechanism: case.mechanism.name(),
        error: Box::new(error),
    })?;
    Ok(Cell {
        manoeuvre: manoeuvre.name,
        case: *case,
        intended: manoeuvre.is_for(case.canal)
            && manoeuvre.about.mechanisms.contains(&case.mechanism),
        outcome,
    })
}
