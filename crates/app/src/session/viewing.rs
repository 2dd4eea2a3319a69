//! What the session does with what is shown and how.

use super::command::{EarFrame, LookFrom, Use, ViewCommand};
use super::state::WindowWish;
use crate::{
    session::Session,
    stages::camera::Orbit,
    stages::globe::Turn,
    stages::render::StageId,
    stages::scene::{
        ear_scene::{self, Moment},
        room_scene,
    },
};

impl Session {
    pub(crate) fn apply_view(&mut self, command: ViewCommand) {
        match command {
            ViewCommand::UseFor(what) => {
                self.preferences.used_for = what;
                match what {
                    Use::Lesson => self.enter_lesson_stage(),
                    Use::Rehearsal | Use::Variant => self.leave_lesson_stage(),
                }
                self.case_folded = Some(false);
            }
            ViewCommand::Orbit(stage, points) => self.camera(stage).orbit(points),
            ViewCommand::Pan(stage, points, height) => self.camera(stage).pan(points, height),
            ViewCommand::Zoom(stage, factor) => self.camera(stage).zoom(factor),
            ViewCommand::Fit(stage) => {
                let home = match stage {
                    StageId::Room => room_scene::home_camera(),
                    StageId::Ear => ear_scene::home_camera(self.ear_shown()),
                };
                *self.camera(stage) = home;
            }
            ViewCommand::ShowEar(ears) => {
                self.preferences.ear_shown = Some(ears);
                self.ear_camera = ear_scene::home_camera(ears);
            }
            ViewCommand::FixEarTo(frame) => {
                self.preferences.ear_frame = frame;
                if frame == EarFrame::Canal {
                    self.look(LookFrom::Canal);
                }
            }
            ViewCommand::SeeEyesAs(who) => self.preferences.eyes_seen_by = who,
            ViewCommand::ShowStage(stage) => self.stage = stage,
            ViewCommand::FoldCase(folded) => self.case_folded = Some(folded),
            ViewCommand::ShowTab(tab) => {
                self.case_tab = tab;
                if let Some(debrief) = &mut self.debrief {
                    debrief.open = false;
                }
                self.case_folded = Some(false);
            }
            ViewCommand::SearchLibrary(words) => self.library_search = words,
            ViewCommand::Show(dialog) => self.dialog = Some(dialog),
            ViewCommand::CloseDialog => self.close_dialog(),
            ViewCommand::DismissBanner => self.banner = None,
            ViewCommand::DismissSlow => self.drawing.words = None,
            ViewCommand::Theme(theme) => self.for_window.push(WindowWish::Theme(theme)),
            ViewCommand::Look(from) => self.look(from),
            ViewCommand::Trace(of) => self.preferences.eye_traces = of,
            ViewCommand::SignEyes(sign) => self.preferences.eye_sign = sign,
            ViewCommand::ShowPlanes(on) => self.preferences.planes_shown = on,
            ViewCommand::ShowFlow(on) => self.preferences.flow_shown = on,
            ViewCommand::TurnGlobe(points, radius) => {
                self.globe_turn.drag(points, radius);
                self.in_motion = true;
            }
            ViewCommand::TurnGlobeBack => self.globe_turn = Turn::default(),
            ViewCommand::ChooseCanal(canal) => self.chosen_canal = Some(canal),
        }
    }

    fn look(&mut self, from: LookFrom) {
        let Some(loaded) = &self.shown else { return };
        let shown = self.ear_shown();
        let home = ear_scene::home_camera(shown);
        let moment = Moment {
            loaded,
            time_s: self.playback.time_s,
            shown,
            frame: self.preferences.ear_frame,
            canal: self.plane_canal(),
        };
        self.ear_camera = ear_scene::camera_from(from, home, moment);
        self.in_motion = true;
    }

    fn camera(&mut self, stage: StageId) -> &mut Orbit {
        self.in_motion = true;
        match stage {
            StageId::Room => &mut self.room_camera,
            StageId::Ear => &mut self.ear_camera,
        }
    }
}
