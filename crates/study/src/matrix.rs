//! Every manoeuvre against every case.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use lithodrome_labyrinth::{CanalId, Labyrinth};
use lithodrome_rehearsal::{Case, LibraryEntry, Load, Mechanism, Outcome, outcome};
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
/// `progress` hears how many of how many are done, from any thread.
pub fn matrix(
    labyrinth: &Arc<Labyrinth>,
    manoeuvres: &[LibraryEntry],
    cases: &[Case],
    threads: Option<usize>,
    progress: &(dyn Fn(usize, usize) + Sync),
) -> Result<Vec<Cell>, StudyError> {
    let pool = pool(threads)?;
    let pairs: Vec<(&LibraryEntry, Case)> = manoeuvres
        .iter()
        .flat_map(|m| cases.iter().map(move |case| (m, *case)))
        .collect();
    let done = AtomicUsize::new(0);
    // Collected in the order of the pairs, whichever is done first.
    let cells = pool.install(|| {
        pairs
            .par_iter()
            .map(|(manoeuvre, case)| {
                let cell = cell(labyrinth, manoeuvre, case);
                progress(done.fetch_add(1, Ordering::Relaxed) + 1, pairs.len());
                cell
            })
            .collect::<Vec<_>>()
    });
    cells.into_iter().collect()
}

fn cell(
    labyrinth: &Arc<Labyrinth>,
    manoeuvre: &LibraryEntry,
    case: &Case,
) -> Result<Cell, StudyError> {
    let outcome =
        outcome(labyrinth, case, &manoeuvre.scenario).map_err(|error| StudyError::Run {
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
