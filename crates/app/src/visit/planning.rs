//! Planning for the patients of a visit: held against the library, kept in a file, printed, opened.

use std::{
    ops::ControlFlow,
    path::{Path, PathBuf},
};

use lithodrome_rehearsal::{Case, EarsCache, Mechanism, Scenario, library_entry};
use lithodrome_study::{cleared_rows, plausible_band, shipped_map, verdict_over};
use lithodrome_visits::{
    ClearedShare, Code, LogError, Paper, Patient, ShareRow, ShareTable, VisitPlan,
    default_log_path, moves_debris, plan_of, sheet_of, write_sheet,
};

use crate::work::progress::Waker;

use super::state::{Back, PatientForm, Planned, Told, VisitState};

impl VisitState {
    /// Plans for the patient of the form; one with the same code is planned anew.
    pub(super) fn plan(&mut self, waker: Waker) {
        let visit = patient_of(&self.form).and_then(|mut patient| {
            // The form has no place for limits of his own: those of his file stay.
            let known = self.planned.iter().find(|p| p.patient.code == patient.code);
            patient.limits = known.and_then(|p| p.patient.limits);
            Ok((self.visit_of(Vec::new())?, patient))
        });
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

    /// Where plan, sheets and log are.
    pub(super) fn place(&self) -> Result<PathBuf, LogError> {
        if let Some(folder) = &self.folder {
            return Ok(folder.clone());
        }
        let log = default_log_path()?;
        Ok(log.parent().unwrap_or(Path::new("")).to_owned())
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

    /// A treatment or test of the library with what this patient is thought to have and what he allows; slowed, where
    /// it fits only so.
    pub(super) fn scenario_for(&self, patient: usize, name: &str) -> Option<Scenario> {
        let Planned { patient, plan } = self.planned.get(patient)?;
        let mut fits = plan.treatments.iter().flat_map(|(_, fits)| fits);
        let slowed = fits
            .find(|f| f.name == name)
            .and_then(|f| f.slowed.as_ref());
        let mut scenario = match slowed {
            Some(slowed) => slowed.scenario.clone(),
            None => library_entry(name)?.ok()?.scenario,
        };
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
        let end = slowed.map_or("", |_| ", slowed");
        scenario.title = format!("{}, {}{end}", patient.code, scenario.title);
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
pub(super) fn planned(visit: VisitPlan) -> Result<Vec<Planned>, String> {
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
