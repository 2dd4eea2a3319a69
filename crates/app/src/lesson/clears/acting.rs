//! What the session does with a wish about what clears a case.

use std::sync::Arc;

use super::{
    command::ClearsCommand,
    desk::{Answer, Asked, Job},
    state::{CarriedOf, ClearsView, MapPlace, Opened},
};
use crate::session::Session;
use lithodrome_labyrinth::CanalId;
use lithodrome_study::MapQuestion;

/// Manoeuvres beside each other.
const BESIDE: usize = 2;

impl Session {
    /// Does what was asked.
    pub(crate) fn apply_clears(&mut self, command: &ClearsCommand) {
        let waker = self.worker.waker();
        let clears = &mut self.lesson.clears;
        match command {
            ClearsCommand::Read(source) => {
                clears.words = None;
                clears.desk.start(Job::Read(source.clone()), waker);
            }
            ClearsCommand::Path(path) => clears.path.clone_from(path),
            ClearsCommand::Ask(asked) => {
                if (asked.canal.ear, asked.size) != (clears.asked.canal.ear, clears.asked.size) {
                    clears.forget_why();
                }
                if asked.canal.ear != clears.asked.canal.ear {
                    clears.marked.clear();
                }
                clears.asked = *asked;
                clears.words = None;
                clears.forget_runs();
                clears.answer();
            }
            ClearsCommand::Look(view) => clears.view = *view,
            ClearsCommand::OtherSide(other) => {
                clears.other_side = *other;
                clears.answer();
            }
            ClearsCommand::Open(name, which) => {
                if let Some(asked) = self.asked_about(name) {
                    let clears = &mut self.lesson.clears;
                    clears.desk.start(Job::Open(asked, *which), waker);
                }
            }
            ClearsCommand::Mark(name, on) => {
                clears.marked.retain(|marked| marked != name);
                if *on {
                    clears.marked.push(name.clone());
                    let extra = clears.marked.len().saturating_sub(BESIDE);
                    clears.marked.drain(..extra);
                }
            }
            ClearsCommand::Beside => {
                let names = clears.marked.clone();
                let both: Vec<Asked> = names.iter().filter_map(|n| self.asked_about(n)).collect();
                if let [a, b] = both.as_slice() {
                    let job = Job::Beside(a.clone(), b.clone());
                    self.lesson.clears.view = ClearsView::Beside;
                    self.lesson.clears.desk.start(job, waker);
                }
            }
            ClearsCommand::Carry(name) => {
                if let Some(asked) = self.asked_about(name) {
                    self.lesson.clears.desk.start(Job::Carry(asked), waker);
                }
            }
            ClearsCommand::Why(place) => {
                clears.why = Some(place.clone());
                if !clears.whys.contains_key(place)
                    && let Some(asked) = self.asked_at(place)
                {
                    let job = Job::Why(asked, place.clone());
                    self.lesson.clears.why_desk.start(job, waker);
                }
            }
        }
    }

    fn asked_about(&self, name: &str) -> Option<Asked> {
        let clears = &self.lesson.clears;
        let row = clears.row(name)?;
        Some(Asked {
            known: clears.known.clone()?,
            question: clears.asked,
            name: row.name.clone(),
            ends: row.ends.clone(),
        })
    }

    fn asked_at(&self, place: &MapPlace) -> Option<Asked> {
        let clears = &self.lesson.clears;
        let known = clears.known.clone()?;
        let question = MapQuestion {
            canal: CanalId {
                ear: place.ear,
                canal: place.canal,
            },
            place: place.place,
            size: place.size,
            ..clears.asked
        };
        let (from_um, _) = question.size_um();
        let cell = known.map.cells.iter().find(|cell| {
            question.name_for_ear(&cell.manoeuvre) == place.name
                && (cell.canal, cell.place) == (place.canal, place.place)
                && (cell.size_um.0 - from_um).abs() < 1e-9
        })?;
        Some(Asked {
            ends: cell.ends.clone(),
            question,
            name: place.name.clone(),
            known,
        })
    }

    /// Takes over what has been computed.
    pub(crate) fn take_clears_work(&mut self) {
        if let Some(answer) = self.lesson.clears.desk.take() {
            self.take_clears_answer(answer);
        }
        // Only now: a map that has just come makes void what was asked about the one before.
        if let Some(answer) = self.lesson.clears.why_desk.take() {
            self.take_clears_answer(answer);
        }
    }

    fn take_clears_answer(&mut self, answer: Result<Answer, String>) {
        let clears = &mut self.lesson.clears;
        match answer {
            Err(words) => clears.words = Some(words),
            Ok(Answer::Known(known)) => {
                clears.known = Some(known);
                clears.forget_runs();
                clears.forget_why();
                clears.whys.clear();
                clears.marked.clear();
                clears.answer();
            }
            // What was asked about another case is no answer to this one.
            Ok(Answer::Opened(Opened { asked, .. }) | Answer::Carried(CarriedOf { asked, .. }))
                if asked != clears.asked => {}
            Ok(Answer::Beside(beside)) if beside.asked != clears.asked => {}
            Ok(Answer::Opened(opened)) => {
                let loaded = opened.loaded.clone();
                clears.words = None;
                clears.opened = Some(opened);
                clears.view = ClearsView::Run;
                self.show_lesson(loaded, None);
            }
            Ok(Answer::Beside(beside)) => clears.beside = Some(Arc::new(*beside)),
            Ok(Answer::Carried(carried)) => clears.carried = Some(Arc::new(carried)),
            Ok(Answer::Why(place, sentence)) => {
                clears.whys.insert(place, sentence);
            }
        }
    }
}
