//! Planning for the patients of a visit: held against the library, kept in a file, printed, opened.

use std::{
    ops::ControlFlow,
    path::{Path, PathBuf},
};

use lithodrome_rehearsal::{Case, EarsCache, Mechanism, Scenario, library_entry};
use lithodrome_study::{cleared_rows, plausible_band, shipped_map, verdict_over};
use lithodrome_visits::{
    ClearedShare, Code, Date, LogError, Paper, Patient, ShareRow, ShareTable, VisitPlan,
    default_log_path, moves_debris, plan_from_ron, plan_of, sheet_of, write_plan, write_sheet,
};

use crate::work::progress::Waker;

use super::state::{Back, DayForm, PatientForm, Planned, Told, VisitState};

/// The file of the visit in its folder.
const PLAN: &str = "visit.ron";

impl VisitState {
    /// Plans for the patient of the form; one with the same code is planned anew.
    pub(super) fn plan(&mut self, waker: Waker) {
        let visit =
            patient_of(&self.form).and_then(|patient| Ok((self.visit_of(Vec::new())?, patient)));
        let (visit, patient) = match visit {
            Ok(both) => both,
            Err(words) => {
                self.form_fault = Some(words);
                return;
            }
        };
        self.form_fault = None;
        let form = std::mem::take(&mut self.form);
        let words = format!("Planning for {}", patient.code);
        self.errands.send(&words, waker, move || {
            let planned = planned(VisitPlan {
                patients: vec![patient],
                ..visit
            });
            let first = planned.map(|all| all.into_iter().next());
            Back::Patient(match first {
                Ok(Some(planned)) => Ok(Box::new(planned)),
                Ok(None) => Err(Box::new((form, "nothing was planned".to_owned()))),
                Err(words) => Err(Box::new((form, words))),
            })
        });
    }

    /// Takes a patient into the visit, in the place of one with the same code.
    pub(super) fn add(&mut self, planned: Planned) {
        let code = &planned.patient.code;
        match self.planned.iter_mut().find(|p| p.patient.code == *code) {
            Some(known) => *known = planned,
            None => self.planned.push(planned),
        }
        self.keep();
    }

    fn visit_of(&self, patients: Vec<Patient>) -> Result<VisitPlan, String> {
        let date = Date::new(&self.day.date).map_err(|e| e.to_string())?;
        let home = Code::new(&self.day.home).map_err(|e| format!("home: {e}"))?;
        Ok(VisitPlan::of(date, home, patients))
    }

    /// Day and home can be written down.
    pub(super) fn day_is_sound(&self) -> bool {
        self.visit_of(Vec::new()).is_ok()
    }

    /// Where plan, sheets and log are.
    pub(super) fn place(&self) -> Result<PathBuf, LogError> {
        if let Some(folder) = &self.folder {
            return Ok(folder.clone());
        }
        let log = default_log_path()?;
        Ok(log.parent().unwrap_or(Path::new("")).to_owned())
    }

    /// Writes the plan down, so that the next window finds it; without patients there is no file.
    pub(super) fn keep(&mut self) {
        if self.taking_up {
            return;
        }
        let kept = self.place().map_err(|e| e.to_string()).and_then(|folder| {
            let path = folder.join(PLAN);
            if self.planned.is_empty() {
                return match std::fs::remove_file(&path) {
                    Err(e) if e.kind() != std::io::ErrorKind::NotFound => Err(e.to_string()),
                    _ => Ok(()),
                };
            }
            let patients = self.planned.iter().map(|p| p.patient.clone());
            let visit = self.visit_of(patients.collect())?;
            std::fs::create_dir_all(&folder).map_err(|e| format!("{}: {e}", folder.display()))?;
            write_plan(&visit, &path).map_err(|e| e.to_string())
        });
        if let Err(words) = kept {
            self.told = Some(Told::Failed(format!("The visit is not kept: {words}")));
        }
    }

    /// Takes up the visit that was kept; one that cannot be read stays where it is and is told.
    pub(super) fn take_up(&mut self, waker: Waker) {
        self.taken_up = true;
        let Some(path) = self.place().ok().map(|folder| folder.join(PLAN)) else {
            return;
        };
        if !path.exists() {
            return;
        }
        match plan_from_ron(&path) {
            Ok(visit) => {
                self.day = DayForm {
                    date: visit.date.as_str().to_owned(),
                    home: visit.home.as_str().to_owned(),
                };
                self.taking_up = true;
                let words = "Planning for the visit that was kept";
                let planning = move || Back::Kept(planned(visit));
                self.errands.send(words, waker, planning);
            }
            Err(e) => self.told = Some(Told::Failed(e.to_string())),
        }
    }

    /// Prints a treatment or test for a patient, with what he is thought to have.
    pub(super) fn print(&mut self, patient: usize, name: &str, waker: Waker) {
        let Some(scenario) = self.scenario_for(patient, name) else {
            return;
        };
        let folder = match self.place() {
            Ok(place) => place.join("sheets"),
            Err(e) => {
                self.told = Some(Told::Failed(e.to_string()));
                return;
            }
        };
        let code = &self.planned[patient].patient.code;
        let path = folder.join(format!("{code}-{name}.pdf"));
        self.told = None;
        let words = format!("Computing the sheet for {code}");
        self.errands.send(&words, waker, move || {
            let words = path.display();
            Back::Sheet(match printed(&scenario, &folder, &path) {
                Ok(()) => Told::Done(format!("The sheet is in {words}")),
                Err(words) => Told::Failed(words),
            })
        });
    }

    /// A treatment or test of the library with what this patient is thought to have and what he allows.
    pub(super) fn scenario_for(&self, patient: usize, name: &str) -> Option<Scenario> {
        let patient = &self.planned.get(patient)?.patient;
        let mut scenario = library_entry(name)?.ok()?.scenario;
        let mut debris = Vec::new();
        for suspected in &patient.suspected {
            let place = suspected.mechanism.unwrap_or(Mechanism::AmpullaryArm);
            let case = Case::new(suspected.id(), place);
            debris.extend(case.posed_in(&scenario).debris);
        }
        if !debris.is_empty() {
            scenario.debris = debris;
        }
        scenario.limits = Some(patient.allowed());
        scenario.title = format!("{}, {}", patient.code, scenario.title);
        Some(scenario)
    }

    /// The whole course of a patient with several canals.
    pub(super) fn course_for(&self, patient: usize) -> Option<Scenario> {
        let planned = self.planned.get(patient)?;
        let mut scenario = planned.plan.course.as_ref()?.scenario.clone();
        scenario.limits = Some(planned.patient.allowed());
        scenario.title = format!("{}, {}", planned.patient.code, scenario.title);
        Some(scenario)
    }
}

/// The patients of a visit with their plans.
fn planned(visit: VisitPlan) -> Result<Vec<Planned>, String> {
    let plans = plan_of(&visit, &shares()?).map_err(|e| e.to_string())?;
    let all = visit.patients.into_iter().zip(plans.patients);
    Ok(all
        .map(|(patient, plan)| Planned { patient, plan })
        .collect())
}

/// The shares of the shipped map, as the plan takes them.
fn shares() -> Result<ShareTable, String> {
    let map = shipped_map().map_err(|e| e.to_string())?;
    let rows = cleared_rows(&map).into_iter().map(|row| ShareRow {
        manoeuvre: row.manoeuvre,
        canal: row.canal,
        place: row.place,
        share: ClearedShare {
            cleared: row.share.share,
            low: row.share.low,
            high: row.share.high,
        },
    });
    Ok(ShareTable {
        rows: rows.collect(),
    })
}

/// Writes the sheet of a scenario, with what plausible ears say of it.
fn printed(scenario: &Scenario, folder: &Path, path: &Path) -> Result<(), String> {
    std::fs::create_dir_all(folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    let mut sheet = sheet_of(scenario, Path::new("")).map_err(|e| e.to_string())?;
    if moves_debris(scenario) {
        let band = plausible_band(&scenario.anatomy, Path::new(""), &EarsCache::default());
        let band = band.map_err(|e| e.to_string())?;
        let says = verdict_over(scenario, &band, &|| ControlFlow::Continue(()));
        sheet = sheet.over_band(&says.map_err(|e| e.to_string())?);
    }
    write_sheet(&sheet, Paper::A4, path).map_err(|e| e.to_string())
}

fn patient_of(form: &PatientForm) -> Result<Patient, String> {
    Ok(Patient {
        code: Code::new(&form.code).map_err(|e| e.to_string())?,
        weight_kg: form.weight_kg,
        height_cm: form.height_cm,
        suspected: form.suspected.clone(),
        neck: form.neck,
        back_recline_deg: form.back_recline_deg,
        cautions: form.cautions.clone(),
        limits: None,
    })
}
