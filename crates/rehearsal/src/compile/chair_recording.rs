//! A recording of the chair that grows: by samples, by rests and by steps that were planned.

use lithodrome_chair::ChairAngles;

use super::motion_of;
use crate::error::RehearsalError;
use crate::scenario::{RecordedEntry, Scenario, StartAngles, StepEntry};
use crate::units::deg;

/// Time between two samples of what was planned, s.
const SAMPLE_S: f64 = 1.0 / 240.0;
/// Samples nearer than this are one, s; times are kept to 0.1 ms.
const SAME_S: f64 = 2e-4;

/// Where the chair has been so far.
pub(crate) struct ChairRecording {
    pub(crate) entries: Vec<RecordedEntry>,
    /// When it ends, s, and where the chair stands then.
    pub(crate) now_s: f64,
    at: StartAngles,
}

impl ChairRecording {
    /// Nothing yet; the chair stands here.
    pub(crate) fn from_rest(at: StartAngles) -> ChairRecording {
        ChairRecording {
            entries: Vec::new(),
            now_s: 0.0,
            at,
        }
    }

    /// What was recorded, to be gone on with; `None` if nothing was.
    pub(crate) fn going_on(
        entries: Vec<RecordedEntry>,
        chair: StartAngles,
    ) -> Option<ChairRecording> {
        let last = *entries.last()?;
        Some(ChairRecording {
            entries,
            now_s: last.at_s,
            at: StartAngles {
                yaw_deg: last.yaw_deg,
                track_deg: last.track_deg,
                ..chair
            },
        })
    }

    /// One more sample, unless it is hardly later than the last.
    pub(crate) fn push(&mut self, at_s: f64, yaw_deg: f64, track_deg: f64) {
        let last_s = self.entries.last().map_or(-1.0, |entry| entry.at_s);
        (self.at.yaw_deg, self.at.track_deg) = (yaw_deg, track_deg);
        self.now_s = self.now_s.max(at_s);
        if at_s - last_s > SAME_S {
            self.entries.push(RecordedEntry {
                at_s,
                yaw_deg,
                track_deg,
            });
        }
    }

    /// The chair stands where it is. Two samples at each end, between which the curve stands still.
    pub(crate) fn rest(&mut self, seconds: f64) {
        let (from_s, end_s) = (self.now_s, self.now_s + seconds);
        for at_s in [from_s, from_s + SAMPLE_S, end_s - SAMPLE_S, end_s] {
            if (from_s..=end_s).contains(&at_s) {
                self.push(at_s, self.at.yaw_deg, self.at.track_deg);
            }
        }
    }

    /// The move of a step that was planned, from where the chair stands; its hold is left to [`ChairRecording::rest`].
    pub(crate) fn move_as(
        &mut self,
        scenario: &Scenario,
        step: &StepEntry,
    ) -> Result<(), RehearsalError> {
        let from_s = self.now_s;
        let alone = Scenario {
            chair: self.at,
            recorded: Vec::new(),
            steps: vec![step.clone()],
            ..scenario.clone()
        };
        let (motion, _) = motion_of(&alone)?;
        let moved_s = motion
            .times()
            .first()
            .map_or(0.0, |times| times.hold_from_s);
        let samples = (moved_s / SAMPLE_S).ceil() as usize;
        for i in 0..=samples {
            let since_s = (i as f64 * SAMPLE_S).min(moved_s);
            let ChairAngles {
                yaw_rad, track_rad, ..
            } = motion.angles_at(since_s);
            self.push(from_s + since_s, deg(yaw_rad), deg(track_rad));
        }
        Ok(())
    }
}
