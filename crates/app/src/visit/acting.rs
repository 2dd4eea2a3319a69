//! What the session does with a wish about a visit.

use std::path::{Path, PathBuf};

use lithodrome_rehearsal::{Mechanism, library_entry};
use lithodrome_visits::{
    Affected, Code, Date, Log, LogError, Paper, Patient, SeenTest, Treatment, Visit, VisitError,
    VisitPlan, default_log_path, figures_of, plan_of, sheet_of, write_sheet,
};

use super::{
    VisitState,
    command::VisitCommand,
    state::{LogForm, PatientForm, Planned, Told},
};
use crate::session::Session;

/// Lengths of an episode that the figures are told for, days: the median of von Brevern 2007 (JNNP
/// 78:710) and the mean of an untreated posterior canal of Imai 2005.
const EPISODE_DAYS: [f64; 2] = [14.0, 39.0];

impl Session {
    /// Does what was asked.
    pub(crate) fn apply_visit(&mut self, command: VisitCommand) {
        let visit = &mut self.visit;
        match command {
            VisitCommand::Clear => {
                let folder = visit.folder.take();
                *visit = VisitState {
                    folder,
                    ..VisitState::default()
                };
            }
            VisitCommand::Write(form) => visit.form = form,
            VisitCommand::Plan => visit.plan(),
            VisitCommand::Remove(i) => {
                if i < visit.planned.len() {
                    visit.planned.remove(i);
                    visit.log_form.patient = 0;
                }
            }
            VisitCommand::PrintSheet { patient, name } => visit.told = visit.print(patient, &name),
            VisitCommand::WriteLog(form) => visit.log_form = form,
            VisitCommand::Log => visit.told = Some(visit.log()),
            VisitCommand::ReadFigures => visit.read_figures(),
            VisitCommand::KeepIn(folder) => visit.folder = Some(folder),
        }
    }
}

impl VisitState {
    fn plan(&mut self) {
        match planned(&self.form) {
            Ok(planned) => {
                self.form_fault = None;
                self.form = PatientForm::default();
                let code = &planned.patient.code;
                match self.planned.iter_mut().find(|p| p.patient.code == *code) {
                    Some(known) => *known = planned,
                    None => self.planned.push(planned),
                }
            }
            Err(words) => self.form_fault = Some(words),
        }
    }

    fn log_path(&self) -> Result<PathBuf, LogError> {
        match &self.folder {
            Some(folder) => Ok(folder.join("visits.sqlite")),
            None => default_log_path(),
        }
    }

    fn print(&self, patient: usize, name: &str) -> Option<Told> {
        let code = &self.planned.get(patient)?.patient.code;
        let folder = self.log_path().ok()?.parent()?.join("sheets");
        let path = folder.join(format!("{code}-{name}.pdf"));
        let words = path.display();
        Some(match written(name, &folder, &path) {
            Ok(()) => Told::Done(format!("The sheet is in {words}")),
            Err(e) => Told::Failed(e.to_string()),
        })
    }

    fn log(&mut self) -> Told {
        let visit = match entry(&self.log_form, &self.planned) {
            Ok(visit) => visit,
            Err(words) => return Told::Failed(words),
        };
        let written = self
            .log_path()
            .and_then(|path| Log::open(&path))
            .and_then(|mut log| log.add(&visit));
        match written {
            Ok(id) => {
                // Day and home stay for the next patient.
                self.log_form = LogForm {
                    date: self.log_form.date.clone(),
                    home: self.log_form.home.clone(),
                    ..LogForm::default()
                };
                Told::Done(format!("Visit {id} is in the log: {}", visit.patient))
            }
            Err(e) => Told::Failed(e.to_string()),
        }
    }

    fn read_figures(&mut self) {
        let visits = self
            .log_path()
            .and_then(|path| Log::open(&path))
            .and_then(|log| log.visits());
        match visits {
            Ok(visits) => self.figures = Some(figures_of(&visits, &EPISODE_DAYS).text()),
            Err(e) => self.told = Some(Told::Failed(e.to_string())),
        }
    }
}

fn written(name: &str, folder: &Path, path: &Path) -> Result<(), VisitError> {
    let write = |e: std::io::Error| VisitError::Write {
        path: folder.to_owned(),
        reason: e.to_string(),
    };
    std::fs::create_dir_all(folder).map_err(write)?;
    let Some(entry) = library_entry(name) else {
        return Ok(());
    };
    let sheet = sheet_of(&entry?.scenario, Path::new(""))?;
    write_sheet(&sheet, Paper::A4, path)
}

/// The patient of a form with his plan, or what is wrong.
fn planned(form: &PatientForm) -> Result<Planned, String> {
    let patient = Patient {
        code: Code::new(&form.code).map_err(|e| e.to_string())?,
        weight_kg: form.weight_kg,
        height_cm: form.height_cm,
        suspected: form.suspected.into_iter().collect(),
        neck: form.neck,
        back_recline_deg: form.back_recline_deg,
        cautions: form.cautions.clone(),
        limits: None,
    };
    let date = Date::new("2000-01-01").map_err(|e| e.to_string())?;
    let home = patient.code.clone();
    let visit = VisitPlan::of(date, home, vec![patient.clone()]);
    let mut day = plan_of(&visit, &|_, _| None).map_err(|e| e.to_string())?;
    let plan = day.patients.pop().ok_or("no plan")?;
    Ok(Planned { patient, plan })
}

/// What a form says as an entry of the log, or what is wrong.
fn entry(form: &LogForm, planned: &[Planned]) -> Result<Visit, String> {
    let patient = planned
        .get(form.patient)
        .ok_or("patient: found none, allowed is one of the planned patients")?;
    let suspected = patient.patient.suspected.first();
    let treated = form.found.or(suspected.map(|s| (s.ear, s.canal)));
    let mut treatments = Vec::new();
    if let (false, Some((ear, canal))) = (form.manoeuvre.trim().is_empty(), treated) {
        treatments.push(Treatment {
            manoeuvre: form.manoeuvre.trim().to_owned(),
            ear,
            canal,
            end: form.end,
        });
    }
    let mechanism = suspected.and_then(|s| s.mechanism);
    Ok(Visit {
        date: Date::new(&form.date).map_err(|e| e.to_string())?,
        home: Code::new(&form.home).map_err(|e| e.to_string())?,
        patient: patient.patient.code.clone(),
        minutes: form.minutes,
        seen: vec![SeenTest {
            test: form.test.trim().to_owned(),
            words: form.seen.trim().to_owned(),
        }],
        affected: form
            .found
            .map(|(ear, canal)| Affected {
                ear,
                canal,
                mechanism: mechanism.unwrap_or(Mechanism::AmpullaryArm),
            })
            .into_iter()
            .collect(),
        treatments,
    })
}
