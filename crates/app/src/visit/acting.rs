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
                let folder = visit.folder.take();
                *visit = VisitState {
                    folder,
                    taken_up: true,
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
            VisitCommand::WriteLog(form) => visit.log_form = form,
            VisitCommand::Log => visit.told = Some(visit.log()),
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
        let visit = &mut self.visit;
        while let Some(back) = visit.errands.take() {
            match back {
                Err(words) | Ok(Back::Kept(Err(words))) => {
                    visit.taking_up = false;
                    visit.told = Some(Told::Failed(words));
                }
                Ok(Back::Patient(Ok(planned))) => visit.add(*planned),
                Ok(Back::Patient(Err(refused))) => {
                    let (form, words) = *refused;
                    if visit.form == super::PatientForm::default() {
                        visit.form = form;
                    }
                    visit.form_fault = Some(words);
                }
                Ok(Back::Kept(Ok(planned))) => {
                    visit.taking_up = false;
                    visit.planned = planned;
                    // The day may have been changed meanwhile.
                    if visit.day_is_sound() {
                        visit.keep();
                    }
                }
                Ok(Back::Sheet(told)) => visit.told = Some(told),
            }
        }
    }
}
