//! The head's motion as a pure function of time.

use nalgebra::Rotation3;

use crate::bed::{BedPosture, BodyLengths};
use crate::motion::carrier::Carrier;
use crate::motion::check_steps::{
    check_chair, check_lever, check_steps, check_swings, finite, times_of,
};
use crate::motion::recorded::Recording;
use crate::pose::Jet;
use crate::pose::Seat;
use crate::{
    AngleSample, ChairAngles, HeadPose, Lever, MotionError, Move, MoveProfile, MovedStep, Step,
    StepTimes,
};

/// The head's motion: a start pose and steps, or a recorded drive.
///
/// The public fields are for reading. The curve is made from them once, when the motion is built; to
/// change a motion, build another one.
#[derive(Clone, Debug, PartialEq)]
pub struct HeadMotion {
    /// Pose at t = 0; for a carrier other than the chair, angles with the same gravity in the head.
    pub start: ChairAngles,
    /// Steps in order, with angles like those of `start`. Those of a recorded drive are found from its
    /// rests.
    pub steps: Vec<Step>,
    /// Lever arm of the head in a chair.
    pub lever: Lever,
    moves: Vec<Move>,
    times: Vec<StepTimes>,
    source: Source,
}

/// What the motion follows.
#[derive(Clone, Debug, PartialEq)]
enum Source {
    /// Moves and holds; the pose at the start and after each step, worked out once.
    Steps {
        carrier: Carrier,
        rests: Vec<HeadPose>,
    },
    /// A curve through samples.
    Samples { recording: Recording, seat: Seat },
}

impl HeadMotion {
    /// The motion of a chair whose steps are driven one after the other from `start`, all with the same
    /// profile.
    ///
    /// # Errors
    /// Values that are not finite, times below 0, a turn in no time, a ramp share outside 0 (left out)
    /// to 0.5.
    pub fn new(
        start: ChairAngles,
        steps: Vec<Step>,
        profile: MoveProfile,
        lever: Lever,
    ) -> Result<HeadMotion, MotionError> {
        let moved = steps
            .into_iter()
            .map(|s| MovedStep {
                name: s.name,
                to: s.to,
                move_s: s.move_s,
                hold_s: s.hold_s,
                movement: profile.into(),
            })
            .collect();
        HeadMotion::in_chair(start, moved, lever)
    }

    /// The motion of a two-axis chair, each step with its own way to move. The headrest may move too.
    pub fn in_chair(
        start: ChairAngles,
        steps: Vec<MovedStep<ChairAngles>>,
        lever: Lever,
    ) -> Result<HeadMotion, MotionError> {
        check_chair(start, &steps)?;
        check_lever(lever)?;
        let ends = std::iter::once(start).chain(steps.iter().map(|s| s.to));
        let ends = ends.collect();
        HeadMotion::carried(Carrier::Chair { ends, lever }, steps, lever)
    }

    /// The motion of a patient on a bed, each angle of trunk and neck moving at the same share of its
    /// way.
    pub fn on_bed(
        start: BedPosture,
        steps: Vec<MovedStep<BedPosture>>,
        lengths: BodyLengths,
    ) -> Result<HeadMotion, MotionError> {
        let ends: Vec<_> = std::iter::once(start)
            .chain(steps.iter().map(|s| s.to))
            .collect();
        for (i, end) in ends.iter().enumerate() {
            for angle in end.to_array() {
                finite(&format!("posture {i}: trunk or neck"), angle)?;
            }
        }
        check_swings(&steps, false)?;
        HeadMotion::carried(Carrier::Bed { ends, lengths }, steps, Lever::default())
    }

    /// The motion of a chair with three axes: each step turns about the one axis that leads straight
    /// from orientation to orientation (half a turn at most).
    pub fn in_three_axes(
        start: Rotation3<f64>,
        steps: Vec<MovedStep<Rotation3<f64>>>,
        lever: Lever,
    ) -> Result<HeadMotion, MotionError> {
        check_lever(lever)?;
        check_swings(&steps, false)?;
        let ends: Vec<_> = std::iter::once(start)
            .chain(steps.iter().map(|s| s.to))
            .collect();
        for (i, end) in ends.iter().enumerate() {
            for value in end.matrix() {
                finite(&format!("orientation {i}"), *value)?;
            }
        }
        HeadMotion::carried(Carrier::three_axes(ends, lever), steps, lever)
    }

    fn carried<P>(
        carrier: Carrier,
        steps: Vec<MovedStep<P>>,
        lever: Lever,
    ) -> Result<HeadMotion, MotionError> {
        check_steps(&steps, &carrier.turns_rad())?;
        let angles = carrier.chair_angles();
        let rests = angles
            .iter()
            .enumerate()
            .map(|(i, at)| carrier.rest(i, *at))
            .collect();
        let moves = steps.iter().map(|s| s.movement).collect();
        let steps: Vec<_> = steps
            .into_iter()
            .zip(&angles[1..])
            .map(|(s, to)| Step {
                name: s.name,
                to: *to,
                move_s: s.move_s,
                hold_s: s.hold_s,
            })
            .collect();
        Ok(HeadMotion {
            start: angles[0],
            times: times_of(&steps),
            steps,
            lever,
            moves,
            source: Source::Steps { carrier, rests },
        })
    }

    /// The motion of a recorded drive, from its first sample (which becomes t = 0) to its last.
    ///
    /// The angles between the samples lie on quintic Hermite pieces, so that angular velocity and
    /// acceleration are continuous, the beginning and the end included; where the samples do not
    /// change, the head stands exactly still. Rests of 2 s or more make the steps.
    ///
    /// # Errors
    /// Fewer than two samples, values that are not finite, times that do not rise.
    pub fn from_samples(
        samples: &[AngleSample],
        headrest_flexion_rad: f64,
        lever: Lever,
    ) -> Result<HeadMotion, MotionError> {
        let recording = Recording::new(samples)?;
        let (yaw, track) = recording.at(0.0);
        let start = ChairAngles {
            yaw_rad: yaw.value,
            track_rad: track.value,
            headrest_flexion_rad,
        };
        finite("headrest flexion", headrest_flexion_rad)?;
        check_lever(lever)?;
        let steps = recording.steps(headrest_flexion_rad);
        Ok(HeadMotion {
            start,
            times: times_of(&steps),
            moves: vec![Move::default(); steps.len()],
            steps,
            lever,
            source: Source::Samples {
                recording,
                seat: Seat::new(headrest_flexion_rad, lever),
            },
        })
    }

    /// The same motion with steps of somebody else's reading; where the head goes stays as it is.
    #[must_use]
    pub fn read_as(self, steps: Vec<Step>) -> HeadMotion {
        HeadMotion {
            times: times_of(&steps),
            moves: vec![Move::default(); steps.len()],
            steps,
            ..self
        }
    }

    /// Length of the motion, s.
    pub fn duration_s(&self) -> f64 {
        match &self.source {
            Source::Steps { .. } => self.times.last().map_or(0.0, |t| t.end_s),
            Source::Samples { recording, .. } => recording.duration_s(),
        }
    }

    /// Times of the steps, `[step]`.
    pub fn times(&self) -> &[StepTimes] {
        &self.times
    }

    /// The step at a time: from the start of its move up to, not including, the end of its hold; the
    /// first before the motion and the last after it. 0 if there are no steps.
    pub fn step_at(&self, t_s: f64) -> usize {
        self.times
            .partition_point(|t| t.end_s <= t_s)
            .min(self.times.len().saturating_sub(1))
    }

    /// Whether the chair is in a hold, or before the beginning or after the end of the motion.
    pub fn is_holding(&self, t_s: f64) -> bool {
        let Some(times) = self.times.get(self.step_at(t_s)) else {
            return true;
        };
        t_s < 0.0 || t_s >= times.hold_from_s
    }

    /// How each step moves, `[step]`; without meaning for a recorded drive.
    pub fn moves(&self) -> &[Move] {
        &self.moves
    }

    /// The longest time from one sample to the next that still shows all of the motion at a time, s:
    /// short while something is shaken or a throw stops, infinite where a move is slow by itself.
    pub fn longest_step_s(&self, t_s: f64) -> f64 {
        let k = self.step_at(t_s);
        match self.moves.get(k) {
            Some(movement) if !self.is_holding(t_s) => {
                movement.longest_step_s(self.steps[k].move_s)
            }
            _ => f64::INFINITY,
        }
    }

    /// The chair's angles at a time.
    pub fn angles_at(&self, t_s: f64) -> ChairAngles {
        self.at(t_s).angles
    }

    /// All that the ear feels at a time; at rest before the beginning and after the end.
    ///
    /// Costs a binary search and, while a step moves, some sines; holds cost a copy. Nothing is
    /// allocated.
    pub fn at(&self, t_s: f64) -> HeadPose {
        let (carrier, rests) = match &self.source {
            Source::Steps { carrier, rests } => (carrier, rests),
            Source::Samples { recording, seat } => {
                let (yaw, track) = recording.at(t_s);
                return seat.pose(t_s, yaw, track);
            }
        };
        let k = self.step_at(t_s);
        let after = self.times.get(k).is_some_and(|t| t_s >= t.hold_from_s);
        if after || t_s < 0.0 || self.times.is_empty() {
            return HeadPose {
                time_s: t_s,
                ..rests[k + usize::from(after)]
            };
        }
        let (since_s, move_s) = (t_s - self.times[k].start_s, self.steps[k].move_s);
        let movement = &self.moves[k];
        let share = movement.profile.share(since_s / move_s);
        let share = Jet {
            value: share.value,
            rate: share.rate / move_s,
            acceleration: share.acceleration / (move_s * move_s),
        };
        let swing = movement.swinging(since_s, move_s);
        carrier.pose(k, t_s, share, swing, rests[k].angles)
    }
}
