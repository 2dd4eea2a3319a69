//! What the window knows of a question about many ears.

use std::{path::PathBuf, sync::Arc};

use super::{
    desk::{Desk, Found},
    form::{Asked, Form},
    searching::Searching,
};

/// Parts of a result.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Part {
    /// The share as dots.
    #[default]
    Share,
    /// Sequences side by side.
    Beside,
    /// The best within the limits.
    Limits,
    /// Share against the number of ears.
    Curve,
    /// The grid of a sweep.
    Heat,
    /// What decides.
    Inputs,
    /// The worst ears.
    Ears,
}

impl Part {
    /// Its name and what it shows.
    pub const fn words(self) -> (&'static str, &'static str) {
        match self {
            Part::Share => ("Share", "How many of 100 ears end how"),
            Part::Beside => (
                "Beside",
                "What each sequence asks of the patient, and the difference",
            ),
            Part::Limits => ("Limits", "The best within what this patient can bear"),
            Part::Curve => (
                "Curve",
                "How the share settles with more ears, with its band",
            ),
            Part::Heat => ("Map", "The share over what is varied"),
            Part::Inputs => ("Inputs", "What decides whether an ear is cleared"),
            Part::Ears => ("Ears", "The worst ears, to open as a run"),
        }
    }
}

/// All of it.
#[derive(Default)]
pub struct VariantState {
    /// The form.
    pub form: Form,
    /// It is folded to a line, so that the result has room.
    pub folded: bool,
    /// What was found last; stays while the next is computed.
    pub found: Option<Arc<Found>>,
    /// It is of the computation under way or of the last one, not of one before.
    pub found_is_new: bool,
    /// What of it is shown.
    pub part: Part,
    /// Which of its sequences is shown, counted from 0.
    pub sequence: usize,
    /// Computes.
    pub desk: Desk,
    /// Searches for a sequence within limits.
    pub searching: Searching,
    /// The path of a study file, as it is typed.
    pub study_path: String,
    /// What went wrong or was done last, in words.
    pub told: Option<String>,
    /// Where opened ears are kept; nowhere until the window says so.
    pub folder: Option<PathBuf>,
}

impl VariantState {
    /// The parts that the result has.
    pub fn parts(&self) -> Vec<Part> {
        let Some(found) = &self.found else {
            return Vec::new();
        };
        let all = [
            (Part::Limits, found.asked == Asked::WithinLimits),
            (Part::Share, true),
            (Part::Beside, found.report.sequences.len() > 1),
            (Part::Heat, found.report.sweep.is_some()),
            (Part::Curve, true),
            (Part::Inputs, true),
            (Part::Ears, true),
        ];
        let there = all.into_iter().filter(|(_, there)| *there);
        there.map(|(part, _)| part).collect()
    }

    /// The part that is shown: as chosen if the result has it.
    pub fn shown_part(&self) -> Part {
        let parts = self.parts();
        if parts.contains(&self.part) {
            self.part
        } else {
            parts.first().copied().unwrap_or_default()
        }
    }

    /// The sequence that is shown, within those that there are.
    pub fn shown_sequence(&self) -> usize {
        let n = self.found.as_ref().map_or(0, |f| f.report.sequences.len());
        self.sequence.min(n.saturating_sub(1))
    }
}
