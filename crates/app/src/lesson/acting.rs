//! What the session does with a wish about a hidden case.

use std::sync::Arc;

use lithodrome_rehearsal::{
    Act, Answer, HiddenCase, Learner, Part, ResultKind, ResultRow, Scenario, SessionRecord,
    acts_of, acts_of_drive, angles_after, read_learner, write_learner, write_results,
};

use super::{
    clears::command::ClearsCommand,
    clears::state::MapSource,
    command::LessonCommand,
    desk::{DeskAnswer, DeskJob},
    state::{LessonTab, OpenCase, Position},
};
use crate::session::{Session, command::Use};
use crate::work::{library::library, stage_data::Loaded};

/// Turning the upright chair, deg/s; bringing it down or up, s (assumed, by hand).
const TURN_DEG_S: f64 = 30.0;
const TIP_S: f64 = 2.0;

impl Session {
    /// Does what was asked.
    pub(crate) fn apply_lesson(&mut self, command: &LessonCommand) {
        let lesson = &mut self.lesson;
        match command {
            LessonCommand::Close => self.close_lesson(),
            LessonCommand::Show(tab) => self.show_part(*tab),
            LessonCommand::Class(command) => self.apply_class(command),
            LessonCommand::Clears(command) => self.apply_clears(command),
            LessonCommand::Seed(seed) => lesson.seed = *seed,
            LessonCommand::Difficulty(difficulty) => lesson.difficulty = *difficulty,
            LessonCommand::Begin => self.begin_case(),
            LessonCommand::Way(way) => lesson.way = *way,
            LessonCommand::Do(position) => {
                let acts = self.acts_to(*position);
                self.do_acts(acts);
            }
            LessonCommand::Wait(hold_s) => {
                let way = lesson.way;
                let act = Act {
                    look: way.look(),
                    ..Act::wait("Wait", *hold_s).as_part(way.part)
                };
                self.do_acts(vec![act]);
            }
            LessonCommand::Treat(entry) => self.treat(*entry),
            LessonCommand::Mark(canal, kind) => lesson.sheet[*canal] = *kind,
            LessonCommand::Name => self.name_it(),
            LessonCommand::Debrief => self.ask_for_debrief(),
            LessonCommand::ShowGood(good) => self.show_good(*good),
            LessonCommand::NextReading => {
                let seed = lesson.reading.next;
                lesson.reading.next = seed.saturating_add(1);
                self.show_reading(seed);
            }
            LessonCommand::RepeatCase(seed, difficulty) => {
                (lesson.seed, lesson.difficulty) = (*seed, *difficulty);
                self.close_lesson();
                self.show_part(LessonTab::Case);
                self.begin_case();
            }
            LessonCommand::RepeatReading(seed) => {
                self.show_part(LessonTab::Reading);
                self.show_reading(*seed);
            }
            LessonCommand::Read(word) => self.read_as(*word),
            LessonCommand::Code(code) => lesson.code.clone_from(code),
            LessonCommand::Keep => self.keep_progress(),
            LessonCommand::WriteResults => self.write_lesson_results(),
        }
    }

    /// Puts what was shown before back onto the stages.
    pub(crate) fn leave_lesson_stage(&mut self) {
        if let Some(before) = self.lesson.aside.take() {
            self.put_on_stage(before, None);
        }
    }

    /// Puts the open case onto the stages, if there is one.
    pub(crate) fn enter_lesson_stage(&mut self) {
        if let Some(open) = &self.lesson.open {
            self.show_lesson(open.on_stage(), None);
        }
    }

    fn show_part(&mut self, tab: LessonTab) {
        self.lesson.tab = tab;
        let clears = &self.lesson.clears;
        if tab != LessonTab::Clears {
            // A run of a manoeuvre would tell of another case.
            self.enter_lesson_stage();
        } else if clears.is_untouched() {
            self.apply_clears(&ClearsCommand::Read(MapSource::Shipped));
        }
    }

    /// Eyes are to be read: those of another run beside them would only mislead.
    pub fn reads_eyes(&self) -> bool {
        self.preferences.used_for == Use::Lesson
            && self.lesson.tab == LessonTab::Reading
            && self.lesson.reading.recording.is_some()
    }

    pub(super) fn show_lesson(&mut self, loaded: Arc<Loaded>, time_s: Option<f64>) {
        if self.lesson.aside.is_none() {
            self.lesson.aside.clone_from(&self.shown);
        }
        self.put_on_stage(loaded, time_s);
    }

    fn put_on_stage(&mut self, loaded: Arc<Loaded>, time_s: Option<f64>) {
        self.playback.restart(loaded.duration_s());
        if let Some(time_s) = time_s {
            self.playback.seek(time_s);
        }
        self.chosen_canal = None;
        self.shown = Some(loaded);
    }

    fn close_lesson(&mut self) {
        self.lesson.desk.stop();
        self.lesson.open = None;
        self.lesson.sheet = [None; 6];
        self.lesson.words = None;
        self.leave_lesson_stage();
    }

    fn begin_case(&mut self) {
        let lesson = &mut self.lesson;
        let case = match lesson.difficulty {
            Some(difficulty) => HiddenCase::drawn(lesson.seed, difficulty),
            None => HiddenCase::of_seed(lesson.seed),
        };
        lesson.sheet = [None; 6];
        lesson.words = None;
        lesson.desk.start(DeskJob::Begin(case), self.worker.waker());
    }

    /// From where the chair stands: turned upright where it is upright, then tipped.
    fn acts_to(&self, position: Position) -> Vec<Act> {
        let Some(open) = &self.lesson.open else {
            return Vec::new();
        };
        let way = self.lesson.way;
        let [yaw_now, track_now] = angles_after(&open.record.acts);
        let upright_deg = (track_now / 360.0).round() * 360.0;
        let is_upright = (track_now - upright_deg).abs() < 1.0;
        let (name, yaw, track) = match position {
            Position::Upright => ("Upright", yaw_now, 0.0),
            Position::RightDixHallpike => ("Right Dix-Hallpike", 45.0, 120.0),
            Position::LeftDixHallpike => ("Left Dix-Hallpike", -45.0, -120.0),
            Position::HeadHanging => ("Straight head-hanging", 90.0, 120.0),
            Position::Supine => ("Supine, head 30° up", 90.0, 60.0),
            Position::RightEarDown => ("Right ear down", 0.0, 90.0),
            Position::LeftEarDown if is_upright => ("Left ear down", 0.0, -90.0),
            Position::LeftEarDown => ("Left ear down", 180.0, 90.0),
            Position::Bow => ("Bow, face down", 90.0, -90.0),
            Position::ByFeel => ("By feel", way.yaw_deg, way.track_deg),
        };
        let yaw_deg = yaw + ((yaw_now - yaw) / 360.0).round() * 360.0;
        let track_deg = track + upright_deg;
        let mut acts = Vec::new();
        let turn_s = ((yaw_deg - yaw_now).abs() / TURN_DEG_S).max(1.0);
        if is_upright && (yaw_deg - yaw_now).abs() > 0.5 {
            acts.push(Act::to("Turn", yaw_deg, upright_deg, turn_s, 2.0).as_part(way.part));
        }
        let move_s = if is_upright { TIP_S } else { TIP_S.max(turn_s) };
        acts.push(Act {
            look: way.look(),
            ..Act::to(name, yaw_deg, track_deg, move_s, way.hold_s).as_part(way.part)
        });
        acts
    }

    fn treat(&mut self, entry: usize) {
        let Some((open, entry)) = self.lesson.open.as_ref().zip(library().get(entry)) else {
            return;
        };
        let done = &open.record.acts;
        let acts = acts_of(&entry.scenario, Part::Treatment, done).unwrap_or_default();
        self.do_acts(acts);
    }

    fn do_acts(&mut self, more: Vec<Act>) {
        let Some(open) = &self.lesson.open else {
            return;
        };
        if more.is_empty() || self.lesson.desk.is_busy() {
            return;
        }
        let mut acts = open.record.acts.clone();
        acts.extend(more);
        let job = DeskJob::Go(open.patient.clone(), acts);
        self.lesson.desk.start(job, self.worker.waker());
    }

    /// What was driven on from `plan` is done in the case; nothing, if nothing could be recorded.
    pub(crate) fn go_on_with_case(&mut self, plan: &Arc<Loaded>, drive: Option<&Scenario>) {
        let way = self.lesson.way;
        let acts = drive.map(|drive| acts_of_drive(drive, way.part, way.look()));
        self.show_lesson(plan.clone(), Some(plan.duration_s()));
        self.do_acts(acts.unwrap_or_default());
    }

    fn name_it(&mut self) {
        let named = self.lesson.diagnosis();
        if let Some(open) = &mut self.lesson.open
            && open.record.answer.is_none()
        {
            open.record.answer = Some(Answer {
                named,
                after_acts: open.record.acts.len(),
            });
            let (full, time_s) = (open.on_stage(), self.playback.time_s);
            self.show_lesson(full, Some(time_s));
        }
    }

    fn ask_for_debrief(&mut self) {
        if let Some(open) = &self.lesson.open {
            let job = DeskJob::Debrief(open.patient.clone(), open.record.clone());
            self.lesson.desk.start(job, self.worker.waker());
        }
    }

    fn show_good(&mut self, good: bool) {
        if let Some(open) = &mut self.lesson.open {
            open.good_shown = good && open.good.is_some();
        }
        self.enter_lesson_stage();
    }

    /// Takes over what the desk has finished.
    pub(crate) fn take_lesson_work(&mut self) {
        self.take_clears_work();
        let Some(answer) = self.lesson.desk.take() else {
            return;
        };
        match answer {
            Err(words) => self.lesson.words = Some(words),
            Ok(DeskAnswer::Begun(patient, loaded)) => {
                let loaded = Arc::new(*loaded);
                self.lesson.open = Some(OpenCase {
                    record: SessionRecord::new(&patient.case),
                    patient,
                    seen: Vec::new(),
                    blind: Arc::new(loaded.blinded()),
                    loaded: loaded.clone(),
                    debrief: None,
                    good: None,
                    good_seen: Vec::new(),
                    good_shown: false,
                    counted: false,
                });
                let end_s = loaded.duration_s();
                if let Some(open) = &self.lesson.open {
                    self.show_lesson(open.on_stage(), Some(end_s));
                }
            }
            Ok(DeskAnswer::Gone(loaded, seen, acts)) => {
                let loaded = Arc::new(*loaded);
                if let Some(open) = &mut self.lesson.open {
                    let before = open.record.acts.len();
                    let was_driven = acts.last().is_some_and(|act| !act.driven.is_empty());
                    let from_s = seen.get(before).map(|s| s.start_s);
                    open.record.acts = acts;
                    open.seen = seen;
                    open.blind = Arc::new(loaded.blinded());
                    open.loaded = loaded;
                    open.debrief = None;
                    open.good_shown = false;
                    let on_stage = open.on_stage();
                    // What was driven has been seen; what was ordered is played.
                    let end_s = on_stage.duration_s();
                    let from_s = if was_driven { Some(end_s) } else { from_s };
                    self.show_lesson(on_stage, from_s);
                    self.playback.playing = !was_driven;
                }
            }
            Ok(DeskAnswer::Debriefed(debrief, good)) => {
                if let Some(open) = &mut self.lesson.open {
                    let (loaded, seen) = good.map_or((None, Vec::new()), |(loaded, seen)| {
                        (Some(Arc::new(*loaded)), seen)
                    });
                    (open.good, open.good_seen) = (loaded, seen);
                    open.debrief = Some(Arc::new(*debrief));
                    let (full, time_s) = (open.on_stage(), self.playback.time_s);
                    if self.shown.as_ref().is_some_and(|shown| shown.hidden) {
                        self.show_lesson(full, Some(time_s));
                    }
                }
                self.count_case();
            }
            Ok(DeskAnswer::Recorded(recording)) => {
                self.lesson.reading.recording = Some(Arc::new(*recording));
            }
        }
    }

    /// Takes the result of a debriefed case into the learner's file, once.
    fn count_case(&mut self) {
        let at_unix_s = now_unix_s();
        let Some(open) = &mut self.lesson.open else {
            return;
        };
        let Some(debrief) = open.debrief.clone().filter(|_| !open.counted) else {
            return;
        };
        open.counted = true;
        let named = open
            .record
            .answer
            .as_ref()
            .map(|answer| answer.named.words());
        let row = ResultRow {
            learner: String::new(),
            at_unix_s,
            kind: ResultKind::Case,
            seed: open.record.seed,
            difficulty: Some(open.record.difficulty),
            truth: open.patient.case.truth.words(),
            named: named.unwrap_or_else(|| "nothing named".to_owned()),
            points: debrief.score.points() as u32,
            of: debrief.score.of() as u32,
        };
        self.add_result(row);
    }

    fn show_reading(&mut self, seed: u64) {
        let reading = &mut self.lesson.reading;
        (reading.recording, reading.answered) = (None, None);
        let job = DeskJob::Reading(seed);
        self.lesson.desk.start(job, self.worker.waker());
    }

    fn read_as(&mut self, word: lithodrome_rehearsal::EyeWord) {
        let reading = &mut self.lesson.reading;
        let Some(recording) = reading.recording.clone() else {
            return;
        };
        if reading.answered.is_some() {
            return;
        }
        reading.answered = Some(word);
        reading.pairs.push((word, recording.word));
        self.add_result(ResultRow {
            learner: String::new(),
            at_unix_s: now_unix_s(),
            kind: ResultKind::Reading,
            seed: recording.seed,
            difficulty: None,
            truth: recording.word.name().to_owned(),
            named: word.name().to_owned(),
            points: u32::from(word == recording.word),
            of: 1,
        });
    }

    fn add_result(&mut self, row: ResultRow) {
        let folder = self.lesson.folder.clone();
        let code = self.lesson.learner.as_ref().map(|l| l.code.clone());
        self.lesson.class.here.push(ResultRow {
            learner: code.unwrap_or_else(|| "no-code".to_owned()),
            ..row.clone()
        });
        let Some(learner) = &mut self.lesson.learner else {
            return;
        };
        let row = ResultRow {
            learner: learner.code.clone(),
            ..row
        };
        learner.add(row);
        if let Some(folder) = folder {
            let path = folder.join(format!("{}.json", learner.code));
            if let Err(error) = write_learner(&path, learner) {
                self.lesson.words = Some(error.to_string());
            }
        }
    }

    fn keep_progress(&mut self) {
        let code = self.lesson.code.trim().to_owned();
        let known = self.lesson.folder.as_ref().and_then(|folder| {
            let path = folder.join(format!("{code}.json"));
            path.exists().then(|| read_learner(&path))
        });
        let learner = match (Learner::new(&code), known) {
            (Err(error), _) => Err(error.to_string()),
            (Ok(_), Some(known)) => known.map_err(|error| error.to_string()),
            (Ok(new), None) => Ok(new),
        };
        match learner {
            Ok(learner) => {
                self.lesson.words = None;
                // On, where the learner's file ends.
                let reading = &mut self.lesson.reading;
                reading.next = reading.next.max(learner.next_reading());
                self.lesson.learner = Some(learner);
            }
            Err(words) => self.lesson.words = Some(words),
        }
    }

    fn write_lesson_results(&mut self) {
        let (Some(folder), Some(learner)) = (&self.lesson.folder, &self.lesson.learner) else {
            return;
        };
        let path = folder.join(format!("{}.csv", learner.code));
        self.lesson.words = Some(match write_results(&path, &learner.results) {
            Ok(()) => format!("Written to {}.", path.display()),
            Err(error) => error.to_string(),
        });
    }
}

pub(super) fn now_unix_s() -> i64 {
    let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    now.map_or(0, |d| d.as_secs().cast_signed())
}
