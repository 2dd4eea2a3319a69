//! The answer to "which manoeuvre clears this ear, canal and place?", from a map, within a patient's
//! limits.

use std::cmp::Reverse;

use lithodrome_labyrinth::{Canal, CanalId, Ear};
use lithodrome_rehearsal::{Limits, Mechanism};

use super::map::{MapCell, OutcomeMap, SIZE_CLASSES_UM};
use super::treatment::Treatment;
use crate::paired::Strain;
use crate::runs::RunEnd;
use crate::statistics::Share;

/// What is asked of a map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MapQuestion {
    /// Ear and canal that have debris.
    pub canal: CanalId,
    /// Where in it.
    pub place: Mechanism,
    /// Which of [`SIZE_CLASSES_UM`].
    pub size: usize,
    /// What this patient allows.
    pub limits: Limits,
}

impl Default for MapQuestion {
    /// The commonest case, and a patient who bears everything.
    fn default() -> Self {
        MapQuestion {
            canal: CanalId {
                ear: Ear::Right,
                canal: Canal::Posterior,
            },
            place: Mechanism::AmpullaryArm,
            size: 1,
            limits: Limits::default(),
        }
    }
}

impl MapQuestion {
    /// Diameters of the class, µm.
    pub fn size_um(&self) -> (f64, f64) {
        SIZE_CLASSES_UM[self.size.min(SIZE_CLASSES_UM.len() - 1)]
    }

    /// The name that a manoeuvre of the map has for this ear: maps are of the right ear, and the left one
    /// is the mirror image.
    pub fn name_for_ear(&self, name: &str) -> String {
        match self.canal.ear {
            Ear::Right => name.to_owned(),
            Ear::Left => other_side(name),
        }
    }

    /// A run that ended so has taken the debris out of where it began: out of the long arm, if it began
    /// there.
    pub fn is_out(&self, end: RunEnd) -> bool {
        match end {
            RunEnd::Cleared => true,
            RunEnd::BehindCupula => !self.place.at_is_short(),
            RunEnd::Inside | RunEnd::Held | RunEnd::Passing | RunEnd::Switched => false,
        }
    }
}

/// The name of the mirror image of a manoeuvre.
pub fn other_side(name: &str) -> String {
    if let Some(rest) = name.strip_prefix("right-") {
        format!("left-{rest}")
    } else if let Some(rest) = name.strip_prefix("left-") {
        format!("right-{rest}")
    } else {
        name.to_owned()
    }
}

/// A manoeuvre in one case of a map.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranked {
    /// Its name in the library, for the ear asked about.
    pub name: String,
    /// What people call it.
    pub title: String,
    /// It is meant for this canal and place.
    pub is_meant: bool,
    /// How each ear ended, `[ear]`; `None` where the run failed.
    pub ends: Vec<Option<RunEnd>>,
    /// Ears in which the debris is out of where it began.
    pub out: Share,
    /// Ears in which it went into another canal and stayed.
    pub switched: Share,
    /// How many of these went into which canal, the most first.
    pub switched_to: Vec<(Canal, u32)>,
    /// It is not told apart from the best one: their intervals overlap.
    pub is_near_best: bool,
    /// What of it this patient does not allow; empty if he allows all.
    pub breaks: Vec<String>,
    /// What it asks of a patient.
    pub strain: Strain,
}

/// The manoeuvres of a map for a question: first what the patient allows, of these what takes the debris
/// out of most ears, of equals what switches in fewer, hangs the head less and is shorter. Empty where the
/// map has no such case.
pub fn ranked(map: &OutcomeMap, treatments: &[Treatment], question: &MapQuestion) -> Vec<Ranked> {
    let mut rows: Vec<Ranked> = cells_of(map, question)
        .filter_map(|cell| row(cell, treatments, question))
        .collect();
    rows.sort_by(|a, b| {
        let key = |r: &Ranked| (!r.breaks.is_empty(), Reverse(r.out.count), r.switched.count);
        let strain = |r: &Ranked| (r.strain.lowest_head_deg, r.strain.duration_s);
        let ((a_low, a_long), (b_low, b_long)) = (strain(a), strain(b));
        key(a)
            .cmp(&key(b))
            .then(a_low.total_cmp(&b_low))
            .then(a_long.total_cmp(&b_long))
            .then(a.name.cmp(&b.name))
    });
    if let Some(best_low) = rows.first().map(|best| best.out.low) {
        for row in &mut rows {
            row.is_near_best = row.out.high >= best_low;
        }
    }
    rows
}

/// The cells of a case, one for each manoeuvre.
fn cells_of<'a>(
    map: &'a OutcomeMap,
    question: &'a MapQuestion,
) -> impl Iterator<Item = &'a MapCell> {
    let (from_um, to_um) = question.size_um();
    map.cells.iter().filter(move |cell| {
        cell.canal == question.canal.canal
            && cell.place == question.place
            && (cell.size_um.0 - from_um).abs() < 1e-9
            && (cell.size_um.1 - to_um).abs() < 1e-9
    })
}

fn row(cell: &MapCell, treatments: &[Treatment], question: &MapQuestion) -> Option<Ranked> {
    let name = question.name_for_ear(&cell.manoeuvre);
    // A map from another version may hold what the library has no more.
    let treatment = treatments.iter().find(|t| t.entry.name == name)?;
    let about = &treatment.entry.about;
    let share = |test: &dyn Fn(RunEnd) -> bool| {
        let ends = (0..).zip(&cell.ends);
        Share::of_ears(ends.map(|(index, end)| (index, end.is_some_and(test))))
    };
    Some(Ranked {
        title: treatment.entry.scenario.title.clone(),
        is_meant: treatment.entry.is_for(question.canal)
            && about.mechanisms.contains(&question.place),
        out: share(&|end| question.is_out(end)),
        switched: share(&|end| end == RunEnd::Switched),
        switched_to: counted(&cell.switched_to),
        ends: cell.ends.clone(),
        is_near_best: false,
        breaks: treatment.breaks(&question.limits),
        strain: treatment.strain,
        name,
    })
}

/// How often each canal is there, the most frequent first.
fn counted(canals: &[Option<Canal>]) -> Vec<(Canal, u32)> {
    let count = |canal| canals.iter().filter(|c| **c == Some(canal)).count() as u32;
    let mut all: Vec<(Canal, u32)> = Canal::ALL.map(|canal| (canal, count(canal))).into();
    all.retain(|(_, ears)| *ears > 0);
    all.sort_by_key(|(_, ears)| Reverse(*ears));
    all
}
