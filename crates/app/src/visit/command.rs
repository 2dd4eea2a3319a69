//! What can be asked about a visit.

use std::path::PathBuf;

use super::state::{LogForm, PatientForm};

/// A wish about a visit.
#[derive(Clone, Debug, PartialEq)]
pub enum VisitCommand {
    /// Begin anew, with nothing.
    Clear,
    /// The form of the next patient now says this.
    Write(PatientForm),
    /// Plan for the patient of the form.
    Plan,
    /// Take a patient off the list, counted from 0.
    Remove(usize),
    /// Write the sheet of a treatment or test for a patient.
    PrintSheet {
        /// Patient, counted from 0.
        patient: usize,
        /// Name in the library.
        name: String,
    },
    /// The form of what was done now says this.
    WriteLog(LogForm),
    /// Write the form into the log.
    Log,
    /// Read the figures from the log.
    ReadFigures,
    /// Keep sheets and log in this folder instead of that of the user's data.
    KeepIn(PathBuf),
}
