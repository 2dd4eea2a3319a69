//! What can be asked about many ears.

use std::path::PathBuf;

use super::{form::Form, state::Part};

/// A wish about a question.
#[derive(Clone, Debug, PartialEq)]
pub enum VariantCommand {
    /// Begin anew, with an empty form and no result.
    Clear,
    /// The form now says this.
    Write(Box<Form>),
    /// Fold the form to a line, or unfold it.
    Fold(bool),
    /// Compute what the form asks.
    Start,
    /// The path of a study file, as it is typed or was chosen.
    StudyPath(String),
    /// Ask the desktop for a study file.
    PickStudy,
    /// Compute that study file.
    StartFile,
    /// Stop computing; what is done stays.
    Cancel,
    /// Show this part of the result.
    Show(Part),
    /// Show this sequence of the result, counted from 0.
    ShowSequence(usize),
    /// Open one ear of the result as a new scenario.
    OpenEar {
        /// Sequence, counted from 0.
        sequence: usize,
        /// Ear, counted from 0.
        ear: u32,
    },
    /// Open a sequence of the result as a new scenario, counted from 0.
    OpenSequence(usize),
    /// Open the sequence that was searched for as a new scenario.
    OpenSearched,
    /// Keep opened ears in this folder.
    KeepIn(PathBuf),
}

impl VariantCommand {
    /// Afterwards another scenario is open.
    pub(crate) const fn leaves_the_scenario(&self) -> bool {
        matches!(
            self,
            VariantCommand::OpenEar { .. }
                | VariantCommand::OpenSequence(_)
                | VariantCommand::OpenSearched
        )
    }
}
