//! Every treatment of the library against every canal, place and size of debris, over a population.
//!
//! Cases are those of the right ear; a left one is the mirror image, with the manoeuvre of the other side.
//! Each ear is built once and the same ears and errors are used in every cell.

use std::ops::{ControlFlow, Range};
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

use lithodrome_debris::MODEL_VERSION;
use lithodrome_labyrinth::{Anatomy, Canal, CanalId, Ear};
use lithodrome_rehearsal::{LibraryEntry, Mechanism, Purpose, library, load_anatomy};
use rayon::prelude::*;

use crate::StudyError;
use crate::population::{CaseMixture, Population};
use crate::robustness::Counts;
use crate::runs::{
    Judging, Progress, Question, Row, RunEnd, Sequence, canal_of, compute, pool, rows_of_ear,
};
use crate::statistics::Share;

/// Size classes of the map, µm.
pub const SIZE_CLASSES_UM: [(f64, f64); 3] = [(20.0, 40.0), (40.0, 65.0), (65.0, 110.0)];

/// The map.
#[derive(Clone, Debug, PartialEq)]
pub struct OutcomeMap {
    /// Where it is from.
    pub provenance: Provenance,
    /// Its cells: by manoeuvre, then canal, place and size class.
    pub cells: Vec<MapCell>,
}

/// What a map was computed from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Provenance {
    /// Version of the program.
    pub version: String,
    /// Version of the model, [`MODEL_VERSION`] of the debris; 1 before it was told.
    pub model: u32,
    /// Title of the mixture.
    pub mixture: String,
    /// Name of the anatomy that ears are drawn about.
    pub anatomy: String,
    /// Seed.
    pub seed: u32,
    /// Ears in every cell.
    pub ears: u32,
}

/// One manoeuvre, canal, place and size class.
#[derive(Clone, Debug, PartialEq)]
pub struct MapCell {
    /// Name of the manoeuvre.
    pub manoeuvre: String,
    /// Canal of the right ear.
    pub canal: Canal,
    /// Where in it.
    pub place: Mechanism,
    /// Diameters, µm.
    pub size_um: (f64, f64),
    /// How each ear ended, `[ear]`; `None` where the run failed.
    pub ends: Vec<Option<RunEnd>>,
    /// The canal that debris switched to, `[ear]`; `None` where it did not.
    pub switched_to: Vec<Option<Canal>>,
}

impl MapCell {
    /// How many ears ended how.
    pub fn counts(&self) -> Counts {
        Counts::of_ends(self.ends.iter().copied())
    }

    /// Share of ears that ended so.
    pub fn share(&self, end: RunEnd) -> Share {
        let ends = (0..).zip(&self.ends);
        Share::of_ears(ends.map(|(index, found)| (index, *found == Some(end))))
    }

    /// Which cell this is, whatever came out.
    pub fn key(&self) -> (&str, Canal, Mechanism, [u64; 2]) {
        let (from_um, to_um) = self.size_um;
        let sizes = [from_um, to_um].map(f64::to_bits);
        (&self.manoeuvre, self.canal, self.place, sizes)
    }
}

/// The treatments of the library. A map tries all of them in the right ear, those for the left one too, as they are
/// done to the wrong side; what they do in the left ear is the mirror image.
pub fn treatments() -> Result<Vec<LibraryEntry>, StudyError> {
    let entries = library()?;
    let treats = |entry: &LibraryEntry| entry.about.kind == Purpose::Treatment;
    Ok(entries.into_iter().filter(treats).collect())
}

/// A canal, place and size class of the right ear, with everything that is tried there.
struct MapCase {
    canal: Canal,
    place: Mechanism,
    size_um: (f64, f64),
    question: Question,
}

/// Computes a map over `ears` ears of a mixture.
pub fn outcome_map(
    mixture: &CaseMixture,
    manoeuvres: &[LibraryEntry],
    ears: u32,
    seed: u32,
    threads: Option<usize>,
    progress: &Progress,
) -> Result<OutcomeMap, StudyError> {
    let anatomy = load_anatomy(&mixture.ears.anatomy, "".as_ref())?;
    let provenance = Provenance {
        version: env!("CARGO_PKG_VERSION").to_owned(),
        model: MODEL_VERSION,
        mixture: mixture.title.clone(),
        anatomy: anatomy.name.clone(),
        seed,
        ears,
    };
    let sequences: Vec<Sequence> = manoeuvres.iter().map(sequence).collect();
    let case = |canal, place: Mechanism, size_um: (f64, f64)| {
        Ok(MapCase {
            canal,
            place,
            size_um,
            question: question(mixture, &anatomy, seed, (canal, place, size_um), &sequences)?,
        })
    };
    let cases = Canal::ALL
        .into_iter()
        .flat_map(|canal| Mechanism::ALL.map(|place| (canal, place)))
        .flat_map(|(canal, place)| SIZE_CLASSES_UM.map(|size| (canal, place, size)))
        .map(|(canal, place, size_um)| case(canal, place, size_um))
        .collect::<Result<Vec<_>, StudyError>>()?;
    let rows = rows_of_ears(&cases, ears, threads, progress)?;
    // By ear and case as computed, by manoeuvre and case as told.
    let cells = sequences.iter().enumerate().flat_map(|(s, sequence)| {
        let rows = &rows;
        cases.iter().enumerate().map(move |(c, case)| MapCell {
            manoeuvre: sequence.name.clone(),
            canal: case.canal,
            place: case.place,
            size_um: case.size_um,
            ends: rows
                .iter()
                .map(|of_ear| of_ear[c][s].end.as_ref().ok().map(|end| end.word))
                .collect(),
            switched_to: rows
                .iter()
                .map(|of_ear| switched_to(&of_ear[c][s]))
                .collect(),
        })
    });
    Ok(OutcomeMap {
        cells: cells.collect(),
        provenance,
    })
}

/// How ears of one cell end and which canal their debris switched to, `[ear]`.
pub type CellEnds = (Vec<Option<RunEnd>>, Vec<Option<Canal>>);

/// The ends of one cell over a range of ears, computed anew.
pub fn cell_ends(
    mixture: &CaseMixture,
    manoeuvre: &LibraryEntry,
    cell: &MapCell,
    seed: u32,
    ears: Range<u32>,
) -> Result<CellEnds, StudyError> {
    let anatomy = load_anatomy(&mixture.ears.anatomy, "".as_ref())?;
    let case = (cell.canal, cell.place, cell.size_um);
    let question = question(mixture, &anatomy, seed, case, &[sequence(manoeuvre)])?;
    let rows = compute(&question, ears, None, &|_, _| ControlFlow::Continue(()))?;
    let ends = rows
        .iter()
        .map(|row| row.end.as_ref().ok().map(|end| end.word));
    Ok((ends.collect(), rows.iter().map(switched_to).collect()))
}

/// The canal that debris of a run switched to.
fn switched_to(row: &Row) -> Option<Canal> {
    let end = row.end.as_ref().ok()?;
    canal_of(end.region).filter(|_| end.word == RunEnd::Switched)
}

fn sequence(manoeuvre: &LibraryEntry) -> Sequence {
    Sequence {
        name: manoeuvre.name.to_owned(),
        scenario: manoeuvre.scenario.clone(),
        diameter_um: None,
    }
}

/// What is computed for a canal, place and size class of the right ear.
pub(super) fn question(
    mixture: &CaseMixture,
    anatomy: &Anatomy,
    seed: u32,
    (canal, place, size_um): (Canal, Mechanism, (f64, f64)),
    sequences: &[Sequence],
) -> Result<Question, StudyError> {
    let narrowed = mixture.clone().at(place.into()).sized(size_um.0, size_um.1);
    narrowed.check()?;
    Ok(Question {
        population: Population::new(narrowed, anatomy.clone(), seed)?,
        canal: CanalId {
            ear: Ear::Right,
            canal,
        },
        sequences: sequences.to_vec(),
        judging: Judging::ControlIfBehind,
        in_lanes: true,
        misses_of: 0,
    })
}

/// Rows of every ear, `[ear][case][manoeuvre]`.
fn rows_of_ears(
    cases: &[MapCase],
    ears: u32,
    threads: Option<usize>,
    progress: &Progress,
) -> Result<Vec<Vec<Vec<Row>>>, StudyError> {
    let done = AtomicU32::new(0);
    let given_up = AtomicBool::new(false);
    let of_ear = |index: u32| -> Vec<Vec<Row>> {
        let Some(first) = cases.first() else {
            return Vec::new();
        };
        if given_up.load(Ordering::Relaxed) {
            return Vec::new();
        }
        // The ear does not depend on its debris.
        let population = &first.question.population;
        let labyrinth = population.labyrinth(&population.draw(index));
        let rows = cases
            .iter()
            .map(|case| rows_of_ear(&case.question, index, &labyrinth))
            .collect();
        let now = done.fetch_add(1, Ordering::Relaxed) + 1;
        if progress(now, ears) == ControlFlow::Break(()) {
            given_up.store(true, Ordering::Relaxed);
        }
        rows
    };
    let rows = pool(threads)?.install(|| (0..ears).into_par_iter().map(of_ear).collect());
    let done = done.into_inner();
    if done < ears {
        return Err(StudyError::Cancelled { done, of: ears });
    }
    Ok(rows)
}
