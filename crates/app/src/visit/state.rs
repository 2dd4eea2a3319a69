//! What the window knows of a visit.

use std::path::PathBuf;

use lithodrome_labyrinth::{Canal, Ear};
use lithodrome_rehearsal::NeckLimits;
use lithodrome_visits::{
    Caution, Date, Figures, Log, Patient, PatientPlan, Suspected, TreatmentEnd, VisitPlan,
};

use super::errands::Errands;

/// All of it.
#[derive(Default)]
pub struct VisitState {
    /// Day and home.
    pub day: DayForm,
    /// The form of the next patient.
    pub form: PatientForm,
    /// What is wrong with it.
    pub form_fault: Option<String>,
    /// Patients of this visit, each with his plan.
    pub planned: Vec<Planned>,
    /// The form of what was done.
    pub log_form: LogForm,
    /// What is wrong with it.
    pub log_fault: Option<String>,
    /// What the last wish about a sheet, the plan or the log came to, in words.
    pub told: Option<Told>,
    /// The figures, once they have been read.
    pub figures: Option<Figures>,
    /// Where plan, sheets and log are kept; the folder of the user's data if nobody said otherwise.
    pub folder: Option<PathBuf>,
    /// What was kept there has been taken up.
    pub taken_up: bool,
    /// The log, once it was needed; held until the window closes, so that no other one writes into it.
    pub(crate) log: Option<Log>,
    /// What was kept there is being planned: until that is back, nothing is written over it.
    pub(super) taking_up: bool,
    /// The visit as its file was read, without its patients.
    pub(super) as_read: Option<VisitPlan>,
    /// A file that can be neither taken up nor moved aside is there: nothing is written over it.
    pub(super) file_stays: bool,
    /// Plans and sheets that are being computed.
    pub(super) errands: Errands<Back>,
}

impl VisitState {
    /// Another window holds the log.
    pub fn is_read_only(&self) -> bool {
        self.log.as_ref().is_some_and(Log::is_read_only)
    }

    /// The plan or sheet that is being computed, in words.
    pub fn under_way(&self) -> Option<&str> {
        self.errands.under_way()
    }
}

/// A patient and what fits him.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    /// The patient.
    pub patient: Patient,
    /// His plan.
    pub plan: PatientPlan,
}

/// What came back from a plan or a sheet.
pub(crate) enum Back {
    /// A patient with his plan, or his form with what is wrong.
    Patient(Result<Box<Planned>, Box<(PatientForm, String)>>),
    /// The patients of the visit that was kept with their plans, or why it cannot be taken up.
    Kept(Result<Vec<Planned>, String>),
    /// What became of a sheet.
    Sheet(Told),
}

/// What a wish came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Told {
    /// It is done.
    Done(String),
    /// It is not.
    Failed(String),
}

/// Day and home of a visit, as they are typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayForm {
    /// The day.
    pub date: String,
    /// The home's code.
    pub home: String,
}

impl Default for DayForm {
    /// Today, in a home that has no number yet.
    fn default() -> Self {
        let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
        let days = now.map_or(0, |since| since.as_secs() / 86_400);
        DayForm {
            date: Date::after_1970(days).map_or_else(String::new, |d| d.as_str().to_owned()),
            home: "H-1".to_owned(),
        }
    }
}

/// The form of a patient, as it is typed.
#[derive(Clone, Debug, PartialEq)]
pub struct PatientForm {
    /// Neutral code.
    pub code: String,
    /// Weight.
    pub weight_kg: f64,
    /// Height.
    pub height_cm: f64,
    /// What is suspected, canal by canal; unknown if empty.
    pub suspected: Vec<Suspected>,
    /// How far the neck goes.
    pub neck: NeckLimits,
    /// How far back the trunk can be laid.
    pub back_recline_deg: f64,
    /// Cautions that are ticked.
    pub cautions: Vec<Caution>,
}

impl Default for PatientForm {
    /// A middling old person, nothing known (assumed).
    fn default() -> Self {
        PatientForm {
            code: String::new(),
            weight_kg: 70.0,
            height_cm: 165.0,
            suspected: Vec::new(),
            neck: NeckLimits::default(),
            back_recline_deg: 90.0,
            cautions: Vec::new(),
        }
    }
}

/// The form of what was done and seen; day and home are the visit's.
#[derive(Clone, Debug, PartialEq)]
pub struct LogForm {
    /// Which of the planned patients, counted from 0.
    pub patient: usize,
    /// The test.
    pub test: String,
    /// What was seen in it.
    pub seen: String,
    /// Debris was found there.
    pub found: Vec<(Ear, Canal)>,
    /// What was done, in order; one without a name was not done.
    pub treatments: Vec<TreatmentForm>,
    /// Time with the patient.
    pub minutes: f64,
}

/// One manoeuvre, as it is typed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TreatmentForm {
    /// Its name; empty if none was done.
    pub manoeuvre: String,
    /// What came of it, once that was chosen.
    pub end: Option<TreatmentEnd>,
}

impl Default for LogForm {
    fn default() -> Self {
        LogForm {
            patient: 0,
            test: "Dix-Hallpike".to_owned(),
            seen: String::new(),
            found: Vec::new(),
            treatments: vec![TreatmentForm::default()],
            minutes: 30.0,
        }
    }
}
