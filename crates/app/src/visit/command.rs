//! What can be asked about a visit.

use std::path::PathBuf;

use lithodrome_visits::Table;

use super::state::{DayForm, LogForm, PatientForm};

/// A wish about a visit.
#[derive(Clone, Debug, PartialEq)]
pub enum VisitCommand {
    /// Begin anew, with nobody.
    Clear,
    /// Take up the visit that was kept, if there is one.
    TakeUp,
    /// Day and home now are these.
    SetDay(DayForm),
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
    /// Open a treatment or test with this patient's debris and limits, to be driven.
    Rehearse {
        /// Patient, counted from 0.
        patient: usize,
        /// Name in the library.
        name: String,
    },
    /// Open the whole course of a patient with several canals, counted from 0.
    RehearseCourse(usize),
    /// The form of what was done now says this.
    WriteLog(LogForm),
    /// Write the form into the log.
    Log,
    /// Read the figures from the log.
    ReadFigures,
    /// Write the log as a table.
    Export(Table),
    /// Draw the figures by home into a file.
    SavePlot,
    /// Copy the log.
    BackUp,
    /// Keep plan, sheets and log in this folder instead of that of the user's data.
    KeepIn(PathBuf),
}

impl VisitCommand {
    /// Afterwards another scenario is open.
    pub(crate) const fn leaves_the_scenario(&self) -> bool {
        matches!(
            self,
            VisitCommand::Rehearse { .. } | VisitCommand::RehearseCourse(_)
        )
    }
}
