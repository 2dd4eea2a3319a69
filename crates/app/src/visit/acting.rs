//! What the session does with a wish about a visit.

use super::{VisitState, command::VisitCommand};
use crate::session::{Session, draft::Draft};
use crate::work::stage_data::Origin;

impl Session {
    /// Does what was asked.
    pub(crate) fn apply_visit(&mut self, command: VisitCommand) {
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
            VisitCommand::TakeUp => visit.take_up(),
            VisitCommand::SetDay(day) => {
                visit.day = day;
                // While it is being typed it is no day yet.
                if visit.day_is_sound() {
                    visit.keep();
                }
            }
            VisitCommand::Write(form) => visit.form = form,
            VisitCommand::Plan => visit.plan(),
            VisitCommand::Remove(i) => {
                if i < visit.planned.len() {
                    visit.planned.remove(i);
                    visit.log_form.patient = 0;
                    visit.keep();
                }
            }
            VisitCommand::PrintSheet { patient, name } => visit.told = visit.print(patient, &name),
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
}
