//! What the window knows of a visit.

use std::path::PathBuf;

use lithodrome_labyrinth::{Canal, Ear};
use lithodrome_rehearsal::NeckLimits;
use lithodrome_visits::{Caution, Patient, PatientPlan, Suspected, TreatmentEnd};

/// All of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct VisitState {
    /// The form of the next patient.
    pub form: PatientForm,
    /// What is wrong with it.
    pub form_fault: Option<String>,
    /// Patients of this visit, each with his plan.
    pub planned: Vec<Planned>,
    /// The form of what was done.
    pub log_form: LogForm,
    /// What the last wish about a sheet or the log came to, in words.
    pub told: Option<Told>,
    /// The figures, in lines.
    pub figures: Option<String>,
    /// Where sheets and log are kept; the folder of the user's data if nobody said otherwise.
    pub folder: Option<PathBuf>,
}

/// A patient and what fits him.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    /// The patient.
    pub patient: Patient,
    /// His plan.
    pub plan: PatientPlan,
}

/// What a wish came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Told {
    /// It is done.
    Done(String),
    /// It is not.
    Failed(String),
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
    /// What is suspected; unknown if `None`.
    pub suspected: Option<Suspected>,
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
            suspected: None,
            neck: NeckLimits::default(),
            back_recline_deg: 90.0,
            cautions: Vec::new(),
        }
    }
}

/// The form of what was done and seen.
#[derive(Clone, Debug, PartialEq)]
pub struct LogForm {
    /// The day.
    pub date: String,
    /// The home's code.
    pub home: String,
    /// Which of the planned patients, counted from 0.
    pub patient: usize,
    /// The test.
    pub test: String,
    /// What was seen in it.
    pub seen: String,
    /// Debris was found there.
    pub found: Option<(Ear, Canal)>,
    /// The manoeuvre; empty if none was done.
    pub manoeuvre: String,
    /// What came of it.
    pub end: TreatmentEnd,
    /// Time with the patient.
    pub minutes: f64,
}

impl Default for LogForm {
    fn default() -> Self {
        LogForm {
            date: String::new(),
            home: String::new(),
            patient: 0,
            test: "Dix-Hallpike".to_owned(),
            seen: String::new(),
            found: None,
            manoeuvre: String::new(),
            end: TreatmentEnd::Cleared,
            minutes: 30.0,
        }
    }
}
