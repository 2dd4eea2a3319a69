//! What the session does with a drive: begins it, shows it, ends it.

use std::sync::Arc;

use crate::{
    drive::{Begin, Debriefing, Drive, Pace, Script, pad::PadSeat, pad_reader, sound::Sound},
    lesson::state::OpenCase,
    session::Session,
    session::command::{
        Command, DriveCommand, DriveSound, EditCommand, ExportCommand, FileCommand, PlayCommand,
    },
    session::state::WindowWish,
    work::worker::Purpose,
};

/// The thread of the drive has died.
const NO_RECORD: &str = "the drive has ended without a record; the plan is as it was";

/// The same, and a part of it had been kept.
const CUT_SHORT: &str = "the drive has ended unexpectedly; what was kept of it, but for the last seconds, is \
    the draft";

impl Session {
    /// Why nobody can drive now; `None` if one can.
    pub fn no_drive_because(&self) -> Option<&'static str> {
        if self.drive.is_some() {
            Some("A drive is under way")
        } else if self.shows_case_under_way() {
            let computes = self.lesson.desk.is_busy();
            computes.then_some("The case is being computed; wait until it is there")
        } else if self.shown.is_none() || self.draft.is_none() {
            Some("Open a scenario first: its case is what is driven")
        } else if self.worker.share().is_some() {
            Some("The run is being computed; wait until it is there")
        } else if self.is_stale() {
            Some("The plan is not computed yet; correct or compute it first")
        } else {
            None
        }
    }

    /// A hidden case is on the stages that was not debriefed yet: a drive goes on with it.
    pub fn shows_case_under_way(&self) -> bool {
        let open = self.case_on_stages();
        self.drive.is_none() && open.is_some_and(|open| open.debrief.is_none())
    }

    /// The hidden case that is on the stages or driven on.
    pub fn case_on_stages(&self) -> Option<&OpenCase> {
        let (Some(shown), Some(open)) = (&self.shown, &self.lesson.open) else {
            return None;
        };
        let is_driven = self.drive.as_ref().is_some_and(Drive::is_in_case);
        (is_driven || Arc::ptr_eq(shown, &open.on_stage())).then_some(open)
    }

    /// Lets pass what can be done while driving. What would leave the case ends the drive first; what is
    /// about the cursor or the draft has to wait and is not done.
    pub(crate) fn while_driving(&mut self, command: Command) -> Option<Command> {
        let Some(drive) = &mut self.drive else {
            return Some(command);
        };
        if command.leaves_the_scenario() {
            drive.then = Some(command);
            drive.driver.stop();
            return None;
        }
        let waits = match &command {
            Command::File(command) => match command {
                FileCommand::Save
                | FileCommand::SaveAs
                | FileCommand::SaveTo(_)
                | FileCommand::DiscardChanges => true,
                FileCommand::Open(_)
                | FileCommand::OpenShipped
                | FileCommand::Reload
                | FileCommand::Pick
                | FileCommand::New
                | FileCommand::OpenFromLibrary(_)
                | FileCommand::Recover
                | FileCommand::DiscardRecovered
                | FileCommand::Quit => false,
            },
            Command::Edit(command) => match command {
                EditCommand::Change(_)
                | EditCommand::Drag(_)
                | EditCommand::EndDrag
                | EditCommand::Undo
                | EditCommand::Redo
                | EditCommand::Compute
                | EditCommand::TakeManoeuvre(_) => true,
                EditCommand::CancelWork | EditCommand::ChooseStep(_) => false,
            },
            Command::Play(command) => match command {
                PlayCommand::Toggle
                | PlayCommand::Seek(_)
                | PlayCommand::Nudge(_)
                | PlayCommand::ToStep(_)
                | PlayCommand::StepBy(_) => true,
                PlayCommand::Speed(_) | PlayCommand::ChangeSpeed(_) => false,
            },
            Command::Export(command) => match command {
                ExportCommand::Pick(_) | ExportCommand::To(..) => true,
                ExportCommand::Cancel | ExportCommand::DismissSaved => false,
            },
            Command::View(_)
            | Command::Drive(_)
            | Command::Lesson(_)
            | Command::Visit(_)
            | Command::Variant(_) => false,
        };
        (!waits).then_some(command)
    }

    pub(crate) fn apply_drive(&mut self, command: DriveCommand) {
        match (command, &mut self.drive) {
            (DriveCommand::Start, None) => {
                // A key says nothing else of why it does nothing.
                self.banner = match self.no_drive_because() {
                    Some(words) => Some(format!("{words}.")),
                    None => self.banner.take(),
                };
                self.start_drive();
            }
            (DriveCommand::Sound(on), _) => self.preferences.sound = on,
            (DriveCommand::Push(axis, rate_rad_s), Some(drive)) => drive.push(axis, rate_rad_s),
            (DriveCommand::Pull(axis, by_rad), Some(drive)) => drive.pull(axis, by_rad),
            (DriveCommand::StopChair, Some(drive)) => drive.stop_chair(),
            (DriveCommand::AimAt(step), Some(drive)) => drive.driver.aim_at(step),
            (DriveCommand::GoOn, Some(drive)) => drive.go_on(),
            (DriveCommand::Glove(on), Some(drive)) => {
                drive.glove = on;
                self.for_window.push(WindowWish::FullScreen(on));
            }
            (DriveCommand::Debrief(open), _) => {
                if let Some(debrief) = &mut self.debrief {
                    debrief.open = open;
                }
            }
            (DriveCommand::End, Some(drive)) => drive.driver.stop(),
            (DriveCommand::ThrowAway, Some(drive)) => {
                // What was done to a patient stays done.
                drive.keep = drive.is_in_case();
                drive.driver.stop();
            }
            // A drive is under way already, or none is.
            (DriveCommand::Start, Some(_))
            | (
                DriveCommand::Push(..)
                | DriveCommand::Pull(..)
                | DriveCommand::StopChair
                | DriveCommand::AimAt(_)
                | DriveCommand::GoOn
                | DriveCommand::Glove(_)
                | DriveCommand::End
                | DriveCommand::ThrowAway,
                None,
            ) => {}
        }
    }

    /// Begins a drive of the case that is shown: from the start of its plan, or on from where a hidden case is.
    pub(crate) fn start_drive(&mut self) {
        self.start_drive_at(Pace::clock());
    }

    /// Begins a drive whose time goes on as a script says.
    pub fn start_scripted_drive(&mut self) -> Script {
        let (pace, script) = Pace::script();
        self.start_drive_at(pace);
        script
    }

    fn start_drive_at(&mut self, pace: Pace) {
        if self.no_drive_because().is_some() {
            return;
        }
        let Some(shown) = self.shown.clone() else {
            return;
        };
        // After a drive the next one is of the same plan, not of that drive.
        let debrief = self.debrief.as_ref();
        let plan = debrief.and_then(|d| d.plan_of(&shown)).unwrap_or(shown);
        self.playback.playing = false;
        (self.debrief, self.driven_plan) = (None, None);
        let waker = self.worker.waker();
        if self.pad.is_none() && matches!(pace, Pace::Clock { .. }) {
            let (seat, feed) = PadSeat::new(waker.clone());
            pad_reader::start(feed);
            self.pad = Some(seat);
        }
        let begin = if self.shows_case_under_way() {
            Begin::AtEnd(self.lesson.way.look())
        } else {
            Begin::AtStart
        };
        self.drive = Some(Drive::start(plan, begin, self.playback, waker, pace));
        self.playback.restart(0.0);
    }

    /// Takes over what has come of the drive, and ends it when it is over.
    pub fn take_drive(&mut self) {
        let Some(drive) = &mut self.drive else { return };
        let over = drive.driver.is_over();
        let record = drive.driver.take_record();
        if record.is_some() {
            drive.record.clone_from(&record);
        }
        if drive.look()
            && let Some(now) = drive.now()
        {
            self.playback.duration_s = now.time_s;
            self.playback.time_s = now.time_s;
            self.shown = Some(now.loaded.clone());
        }
        if let (Some(record), Begin::AtStart) = (record, drive.begin) {
            self.keep_drive_safe(&record);
        }
        self.keep_sound();
        if over && let Some(drive) = self.drive.take() {
            (self.pad, self.sound) = (None, None);
            self.finish(drive);
        }
    }

    /// Opens the sound if it is wanted, says what is to be heard, and closes it; without a sound device its switch
    /// goes off.
    fn keep_sound(&mut self) {
        let Some(drive) = self
            .drive
            .as_ref()
            .filter(|_| self.preferences.sound == DriveSound::On)
        else {
            self.sound = None;
            return;
        };
        let heard = drive.heard();
        match &self.sound {
            None => self.sound = Some(Sound::start(heard, self.worker.waker())),
            Some(sound) => match sound.failed() {
                None => sound.tell(heard),
                Some(words) => {
                    self.banner = Some(format!("There is no sound while driving: {words}"));
                    self.preferences.sound = DriveSound::Off;
                    self.sound = None;
                }
            },
        }
    }

    /// What the hand has asked for in this picture goes to the chair; nothing if the window is not
    /// `in_front`.
    pub fn hand_over(&mut self, in_front: bool) {
        let paused = self.dialog.is_some();
        if let Some(drive) = &mut self.drive {
            drive.hand_over(in_front, paused);
        }
    }

    /// The drive becomes the draft; thrown away it is a change that can be made again.
    fn finish(&mut self, drive: Drive) {
        let (scenario, failed) = match drive.now() {
            Some(now) => (now.scenario.clone(), now.failed.clone()),
            None => (None, None),
        };
        let words = match (&scenario, &drive.record) {
            (None, None) if failed.is_none() => Some(NO_RECORD.to_owned()),
            (None, Some(_)) if failed.is_none() => Some(CUT_SHORT.to_owned()),
            _ => failed,
        };
        // What was said while driving stays until it is read.
        self.banner = words.or_else(|| self.banner.take());
        let scenario = scenario.or_else(|| drive.record.clone());
        if drive.glove {
            self.for_window.push(WindowWish::FullScreen(false));
        }
        if drive.is_in_case() {
            let plan = drive.plan().clone();
            self.go_on_with_case(&plan, scenario.as_deref());
            if let Some(command) = drive.then {
                self.apply(command);
            }
            return;
        }
        let kept = match (scenario, &mut self.draft) {
            (Some(scenario), Some(draft)) => {
                draft.take(scenario);
                drive.keep || !draft.undo()
            }
            _ => false,
        };
        if kept {
            self.driven_plan = Some(drive.plan().clone());
            self.recompute(Purpose::Change);
        } else {
            self.shown = Some(drive.plan().clone());
            self.playback = drive.playback_before;
            // What was shown may have been an earlier drive of this plan.
            if self.is_stale() {
                self.recompute(Purpose::Change);
            }
        }
        self.keep_safe();
        if let Some(command) = drive.then {
            self.apply(command);
        }
    }

    /// The run of a drive that has just ended is held against its plan, once it is there.
    pub(crate) fn begin_debrief(&mut self) {
        let (Some(plan), Some(drive)) = (self.driven_plan.take(), self.shown.clone()) else {
            return;
        };
        // Undone meanwhile, there is nothing to tell.
        if !drive.scenario.recorded.is_empty() {
            let waker = self.worker.waker();
            self.debrief = Some(Debriefing::start(plan, drive, waker));
        }
    }
}
