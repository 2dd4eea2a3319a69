//! What the session does with a wish about a visit.

use super::{
    VisitState,
    command::VisitCommand,
    state::{Back, Told},
};
use crate::session::{Session, draft::Draft};
use crate::work::stage_data::Origin;

impl Session {
    /// Does what was asked.
    pub(crate) fn apply_visit(&mut self, command: VisitCommand) {
        let waker = self.worker.waker();
        let visit = &mut self.visit;
        match command {
            VisitCommand::Clear => {
                let (folder, as_read) = (visit.folder.take(), visit.as_read.take());
                *visit = VisitState {
                    folder,
                    taken_up: true,
                    // The same chair and the same times.
                    as_read,
                    file_stays: visit.file_stays,
                    ..VisitState::default()
                };
                visit.keep();
            }
            VisitCommand::TakeUp => visit.take_up(waker),
            VisitCommand::SetDay(day) => {
                visit.day = day;
                // While it is being typed it is no day yet.
                if visit.day_is_sound() {
                    visit.keep();
                }
            }
            VisitCommand::Write(form) => visit.form = form,
            VisitCommand::Plan => visit.plan(waker),
            VisitCommand::Remove(i) => {
                if i < visit.planned.len() {
                    visit.planned.remove(i);
                    visit.log_form.patient = 0;
                    visit.keep();
                }
            }
            VisitCommand::PrintSheet { patient, name } => visit.print(patient, &name, waker),
            VisitCommand::Rehearse { patient, name } => {
                if let Some(scenario) = visit.scenario_for(patient, &name) {
                    self.open_draft(Draft::opened(scenario, Origin::New));
                }
            }
            VisitCommand::RehearseCourse(patient) => {
                if let Some(scenario) = visit.course_for(patient) {
                    self.open_draft(Draft::opened(scenario, Origin::New));
                }
            }
            VisitCommand::WriteLog(form) => {
                visit.log_form = form;
                visit.log_fault = None;
            }
            VisitCommand::Log => {
                let told = visit.log();
                visit.log_fault = match &told {
                    Told::Failed(words) => Some(words.clone()),
                    Told::Done(_) => None,
                };
                visit.told = Some(told);
            }
            VisitCommand::ReadFigures => visit.read_figures(),
            VisitCommand::Export(table) => visit.told = Some(visit.export(table)),
            VisitCommand::SavePlot => visit.told = Some(visit.save_plot()),
            VisitCommand::BackUp => visit.told = Some(visit.back_up()),
            VisitCommand::KeepIn(folder) => {
                *visit = VisitState {
                    folder: Some(folder),
                    ..VisitState::default()
                };
            }
        }
    }

    /// Takes over the plans and sheets that are done.
    pub(crate) fn take_visit_work(&mut self) {
        self.visit.take_back();
    }
}

impl VisitState {
    /// Takes over what came back.
    pub(super) fn take_back(&mut self) {
        while let Some(back) = self.errands.take() {
            match back {
                // What was being taken up could not be planned, or the work on it broke off.
                Ok(Back::Kept(Err(words))) => self.set_aside(&words),
                Err(words) if self.taking_up => self.set_aside(&words),
                Err(words) => self.told = Some(Told::Failed(words)),
                Ok(Back::Patient(Ok(planned))) => self.add(*planned),
                Ok(Back::Patient(Err(refused))) => {
                    let (form, words) = *refused;
                    if self.form == super::PatientForm::default() {
                        self.form = form;
                    }
                    self.form_fault = Some(words);
                }
                Ok(Back::Kept(Ok(planned))) => {
                    self.taking_up = false;
                    self.planned = planned;
                    // The day may have been changed meanwhile.
                    if self.day_is_sound() {
                        self.keep();
                    }
                }
                Ok(Back::Sheet(told)) => self.told = Some(told),
            }
        }
    }
}
