//! In which order a patient is tested.

use lithodrome_labyrinth::{Canal, Ear};
use lithodrome_rehearsal::LibraryEntry;
use serde::Serialize;

use super::fit::{Fit, fit_of};
use super::patient::Patient;
use crate::VisitError;

/// One step of the order.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlannedTest {
    /// Its words: a test's title or a wait.
    pub words: String,
    /// Time that it takes, s.
    pub duration_s: f64,
    /// The patient only waits.
    pub wait: bool,
    /// The test held against the patient; `None` for a wait.
    pub fit: Option<Fit>,
}

impl PlannedTest {
    /// "4.0 min", or "12 h at home" for what takes no time in the chair.
    pub fn time_words(&self) -> String {
        if self.fit.as_ref().is_some_and(Fit::is_at_home) {
            format!("{:.0} h at home", self.duration_s / 3_600.0)
        } else {
            format!("{:.1} min", self.duration_s / 60.0)
        }
    }
}

/// Between the first and the second round, s: a first test can be empty and the second, five minutes
/// later, violent (common practice, no source).
const BETWEEN_ROUNDS_S: f64 = 300.0;

/// Provocations twice on each side, the suspected side last, then what tells the lateral and anterior
/// canals apart. A test that does not fit stays in the list with its reasons.
///
/// # Errors
/// As [`fit_of`].
pub fn tests_for(
    patient: &Patient,
    entries: &[LibraryEntry],
) -> Result<Vec<PlannedTest>, VisitError> {
    let first = patient.suspected.first();
    let last = first.map_or(Ear::Right, |s| s.ear);
    let sides = [last.other(), last];
    let lateral_first = first.is_some_and(|s| s.canal == Canal::Lateral);
    let named = |side: Ear, test: &str| format!("{}-{test}", side.name());
    let hallpike = sides.map(|side| named(side, "dix-hallpike"));
    let roll = [named(sides[0], "supine-roll")];
    let rest = ["straight-head-hanging", "bow-and-lean"].map(str::to_owned);
    let (early, late): (&[String], &[String]) = if lateral_first {
        (&roll, &hallpike)
    } else {
        (&hallpike, &roll)
    };
    let mut order = Vec::new();
    let put = |order: &mut Vec<PlannedTest>, name: &str| -> Result<(), VisitError> {
        let Some(entry) = entries.iter().find(|e| e.name == name) else {
            return Ok(());
        };
        let fit = fit_of(entry, patient, None)?;
        order.push(PlannedTest {
            words: entry.scenario.title.clone(),
            duration_s: entry.scenario.duration_s(),
            wait: false,
            fit: Some(fit),
        });
        Ok(())
    };
    // A Dix-Hallpike of the library goes twice in one file, a roll goes to both sides.
    for name in early {
        put(&mut order, name)?;
    }
    order.push(wait("Wait upright, then the same again", BETWEEN_ROUNDS_S));
    for name in early {
        put(&mut order, name)?;
    }
    for name in late.iter().chain(&rest) {
        put(&mut order, name)?;
    }
    Ok(order)
}

/// A wait of its own.
pub(super) fn wait(words: &str, duration_s: f64) -> PlannedTest {
    PlannedTest {
        words: words.to_owned(),
        duration_s,
        wait: true,
        fit: None,
    }
}
