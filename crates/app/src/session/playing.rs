//! What the session does with the cursor in time.

use super::command::PlayCommand;
use crate::session::Session;

impl Session {
    pub(crate) fn apply_play(&mut self, command: PlayCommand) {
        match command {
            PlayCommand::Toggle => self.playback.toggle(),
            PlayCommand::Seek(time_s) => self.seek(time_s),
            PlayCommand::Nudge(by_s) => self.seek(self.playback.time_s + by_s),
            PlayCommand::ToStep(step) => self.seek_hold(step),
            PlayCommand::StepBy(by) => self.step_by(by),
            PlayCommand::Speed(speed) => self.playback.speed = speed,
            PlayCommand::ChangeSpeed(by) => self.playback.change_speed(by),
        }
    }

    fn seek(&mut self, time_s: f64) {
        let before = self.playback;
        self.playback.seek(time_s);
        self.in_motion |= before != self.playback;
    }

    fn seek_hold(&mut self, step: usize) {
        let times = self.shown.as_ref().and_then(|l| l.step_times.get(step));
        if let Some(from_s) = times.map(|times| times.hold_from_s) {
            self.playback.seek(from_s);
        }
    }

    fn step_by(&mut self, by: isize) {
        let Some(loaded) = &self.shown else { return };
        let now = self.playback.time_s;
        let starts = loaded
            .step_times
            .iter()
            .map(|s| s.start_s)
            .chain([loaded.duration_s()]);
        let to = if by > 0 {
            starts.into_iter().find(|&t| t > now + 1e-6)
        } else {
            starts.into_iter().rfind(|&t| t < now - 1e-6)
        };
        if let Some(to) = to {
            self.playback.seek(to);
        }
    }
}
