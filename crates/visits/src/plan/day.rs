//! A whole visit: every patient's plan and the day's time.

use std::path::Path;
use std::sync::Arc;

use lithodrome_labyrinth::Labyrinth;
use lithodrome_rehearsal::{
    LibraryEntry, Limits, UPRIGHT_BEFORE_CONTROL_S, library, load_labyrinth,
};
use serde::{Deserialize, Serialize};

use super::balance::{Balance, BodySize, balance};
use super::course::{Course, course_of};
use super::fit::{Fit, treatments_for};
use super::order::{PlannedTest, tests_for, wait};
use super::patient::{Patient, Suspected};
use super::share::ShareTable;
use crate::VisitError;
use crate::log::{Code, Date};
use crate::ron_file::{from_ron, to_ron};

/// The file of a visit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VisitPlan {
    /// Version of the format, 1.
    pub format: u32,
    /// The day.
    pub date: Date,
    /// The home, by code.
    pub home: Code,
    /// Into the chair and out of it, minutes a patient (assumed).
    #[serde(default = "seating_min")]
    pub seating_min: f64,
    /// Between two patients, minutes (assumed).
    #[serde(default = "changing_min")]
    pub changing_min: f64,
    /// Radius at which the operator holds the track, cm.
    #[serde(default = "rim_radius_cm")]
    pub rim_radius_cm: f64,
    /// The most that the operator wants to hold there, N (assumed; local rules apply).
    #[serde(default = "rim_force_n")]
    pub rim_force_n: f64,
    /// How far off the middle the centre of mass may be found to be, cm (assumed).
    #[serde(default = "off_cm")]
    pub off_cm: f64,
    /// The patients in the order in which they are seen.
    pub patients: Vec<Patient>,
}

impl VisitPlan {
    /// A visit with the usual times and the usual chair.
    pub fn of(date: Date, home: Code, patients: Vec<Patient>) -> VisitPlan {
        VisitPlan {
            format: 1,
            date,
            home,
            seating_min: seating_min(),
            changing_min: changing_min(),
            rim_radius_cm: rim_radius_cm(),
            rim_force_n: rim_force_n(),
            off_cm: off_cm(),
            patients,
        }
    }
}

fn seating_min() -> f64 {
    8.0
}

fn changing_min() -> f64 {
    5.0
}

fn rim_radius_cm() -> f64 {
    95.0
}

fn rim_force_n() -> f64 {
    40.0
}

fn off_cm() -> f64 {
    2.0
}

/// Everything for one patient.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PatientPlan {
    /// His code.
    pub code: Code,
    /// What he allows.
    pub limits: Limits,
    /// Cautions with reason and advice, in words.
    pub cautions: Vec<String>,
    /// Tests in order, waits between them.
    pub tests: Vec<PlannedTest>,
    /// For each suspected canal its treatments, the ones that fit first.
    pub treatments: Vec<(Suspected, Vec<Fit>)>,
    /// Several canals: their order, and what each treatment does to the others' debris.
    pub course: Option<Course>,
    /// Treatments, waits and control tests in order.
    pub then: Vec<PlannedTest>,
    /// How he sits in the track.
    pub balance: Balance,
    /// Time in the chair, minutes, with getting in and out.
    pub chair_min: f64,
    /// Of that, time that he only sits and waits.
    pub wait_min: f64,
}

/// A whole visit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DayPlan {
    /// The day.
    pub date: Date,
    /// The home.
    pub home: Code,
    /// Patients in order.
    pub patients: Vec<PatientPlan>,
    /// The day's time, minutes, with the changes between patients.
    pub day_min: f64,
}

/// Reads the file of a visit.
///
/// # Errors
/// A file that cannot be read or is no visit, with line and column; a number out of its range.
pub fn plan_from_ron(path: &Path) -> Result<VisitPlan, VisitError> {
    from_ron(path)
}

/// Writes the file of a visit, whole or not at all.
///
/// # Errors
/// A place that cannot be written to.
pub fn write_plan(visit: &VisitPlan, path: &Path) -> Result<(), VisitError> {
    to_ron(visit, path)
}

/// The plan of a visit; `shares` tells the shares of ears that treatments clear, where they are known.
///
/// # Errors
/// A number out of its range.
pub fn plan_of(visit: &VisitPlan, shares: &ShareTable) -> Result<DayPlan, VisitError> {
    check(visit)?;
    let entries = library()?;
    let ear = load_labyrinth("typical-adult", Path::new(""))?;
    let mut patients = Vec::with_capacity(visit.patients.len());
    for patient in &visit.patients {
        patients.push(patient_plan(visit, patient, &entries, &ear, shares)?);
    }
    let chair: f64 = patients.iter().map(|p| p.chair_min).sum();
    let changes = patients.len().saturating_sub(1) as f64 * visit.changing_min;
    Ok(DayPlan {
        date: visit.date.clone(),
        home: visit.home.clone(),
        patients,
        day_min: chair + changes,
    })
}

fn check(visit: &VisitPlan) -> Result<(), VisitError> {
    let ranges = [
        (
            "seating_min",
            visit.seating_min,
            [0.0, 120.0],
            "0 to 120 min",
        ),
        (
            "changing_min",
            visit.changing_min,
            [0.0, 120.0],
            "0 to 120 min",
        ),
        (
            "rim_radius_cm",
            visit.rim_radius_cm,
            [20.0, 300.0],
            "20 to 300 cm",
        ),
        (
            "rim_force_n",
            visit.rim_force_n,
            [1.0, 1000.0],
            "1 to 1000 N",
        ),
        ("off_cm", visit.off_cm, [0.0, 50.0], "0 to 50 cm"),
        ("format", f64::from(visit.format), [1.0, 1.0], "1"),
    ];
    for (field, found, [low, high], allowed) in ranges {
        if !(low..=high).contains(&found) {
            return Err(VisitError::Field {
                field: field.to_owned(),
                found: found.to_string(),
                allowed,
            });
        }
    }
    let most = 60;
    if visit.patients.is_empty() || visit.patients.len() > most {
        return Err(VisitError::Field {
            field: "patients".to_owned(),
            found: visit.patients.len().to_string(),
            allowed: "1 to 60 patients",
        });
    }
    for patient in &visit.patients {
        patient.check()?;
    }
    Ok(())
}

fn patient_plan(
    visit: &VisitPlan,
    patient: &Patient,
    entries: &[LibraryEntry],
    ear: &Arc<Labyrinth>,
    shares: &ShareTable,
) -> Result<PatientPlan, VisitError> {
    let tests = tests_for(patient, entries)?;
    let mut treatments = Vec::new();
    let mut chosen = Vec::new();
    for suspected in &patient.suspected {
        let fits = treatments_for(*suspected, patient, entries, shares)?;
        let first = fits.iter().find(|f| f.fits()).cloned();
        let entry = first.and_then(|fit| {
            let entry = entries.iter().find(|e| e.name == fit.name)?;
            Some((*suspected, entry, fit))
        });
        chosen.extend(entry);
        treatments.push((*suspected, fits));
    }
    let in_chair = chosen.iter().filter(|(.., fit)| !fit.is_at_home());
    let pairs: Vec<_> = in_chair.map(|(s, entry, _)| (*s, *entry)).collect();
    let course = course_of(&pairs, ear)?;
    if let Some(course) = &course {
        let place = |s: &Suspected| {
            let found = course.order.iter().position(|(other, _)| other == s);
            found.unwrap_or(usize::MAX)
        };
        chosen.sort_by_key(|(suspected, ..)| place(suspected));
    }
    let mut then = Vec::new();
    for (suspected, _, fit) in chosen {
        let at_home = fit.is_at_home();
        let later = if at_home {
            "; control test at the next visit"
        } else {
            ""
        };
        then.push(PlannedTest {
            words: format!("{}{later}", fit.title),
            duration_s: fit.duration_s,
            wait: false,
            fit: Some(fit),
        });
        if at_home {
            continue;
        }
        then.push(wait(
            "Wait upright before the control test",
            UPRIGHT_BEFORE_CONTROL_S,
        ));
        then.extend(control_of(suspected, &tests));
    }
    // What is done at home takes no time in the chair.
    let in_chair = |f: &Fit| f.fits() && !f.is_at_home();
    let done = |t: &&PlannedTest| t.fit.as_ref().is_none_or(in_chair);
    let seconds = |waits: bool| {
        let all = tests.iter().chain(&then).filter(done);
        all.filter(|t| !waits || t.wait)
            .map(|t| t.duration_s)
            .sum::<f64>()
    };
    let body = BodySize {
        weight_kg: patient.weight_kg,
        height_cm: patient.height_cm,
    };
    Ok(PatientPlan {
        code: patient.code.clone(),
        limits: patient.allowed(),
        cautions: patient
            .cautions
            .iter()
            .map(|c| {
                let advice = c.advice().map_or_else(String::new, |a| format!("; {a}"));
                format!("{}: {}{advice}", c.name(), c.reason())
            })
            .collect(),
        balance: balance(body, visit.off_cm, visit.rim_radius_cm, visit.rim_force_n),
        chair_min: visit.seating_min + seconds(false) / 60.0,
        wait_min: seconds(true) / 60.0,
        tests,
        treatments,
        course,
        then,
    })
}

/// The test that shows the suspected canal, out of those that are planned.
fn control_of(suspected: Suspected, tests: &[PlannedTest]) -> Option<PlannedTest> {
    use lithodrome_labyrinth::Canal;
    let end = match suspected.canal {
        Canal::Posterior => format!("{}-dix-hallpike", suspected.ear.name()),
        Canal::Lateral => "supine-roll".to_owned(),
        Canal::Anterior => "straight-head-hanging".to_owned(),
    };
    let found = tests
        .iter()
        .find(|t| t.fit.as_ref().is_some_and(|f| f.name.ends_with(&end)));
    found.map(|t| PlannedTest {
        words: format!("Control test: {}", t.words),
        ..t.clone()
    })
}
