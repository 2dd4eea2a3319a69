//! The head's motion as a pure function of time.

use crate::head_pose::Seat;
use crate::profile::Jet;
use crate::recorded::Recording;
use crate::{AngleSample, ChairAngles, HeadPose, Lever, MotionError, MoveProfile};

/// One element of a manoeuvre: a move to the given angles, then a hold at rest.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What people call it.
    pub name: String,
    /// Angles at the end of the move.
    pub to: ChairAngles,
    /// Time of the move, s; 0 is allowed only if no angle changes.
    pub move_s: f64,
    /// Time at rest after it, s.
    pub hold_s: f64,
}

/// When a step's move and hold begin and end, s from the start of the run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StepTimes {
    /// Start of the move.
    pub start_s: f64,
    /// Start of the hold.
    pub hold_from_s: f64,
    /// End of the hold.
    pub end_s: f64,
}

/// The head's motion: a start pose and steps, or a recorded drive.
///
/// The public fields are for reading. The curve is made from them once, when the motion is built; to
/// change a motion, build another one.
#[derive(Clone, Debug, PartialEq)]
pub struct HeadMotion {
    /// Pose at t = 0.
    pub start: ChairAngles,
    /// Steps in order. Those of a recorded drive are found from its rests.
    pub steps: Vec<Step>,
    /// Shape of every move; without meaning for a recorded drive.
    pub profile: MoveProfile,
    /// Lever arm of the head.
    pub lever: Lever,
    times: Vec<StepTimes>,
    seat: Seat,
    course: Course,
}

/// Flexions that differ by rounding only are the same.
const SAME_FLEXION_RAD: f64 = 1e-9;

/// What the motion follows.
#[derive(Clone, Debug, PartialEq)]
enum Course {
    /// Moves and holds; the pose at the start and after each step, worked out once.
    Steps { rests: Vec<HeadPose> },
    /// A curve through samples.
    Samples(Recording),
}

impl HeadMotion {
    /// The motion of steps that are driven one after the other from `start`.
    ///
    /// # Errors
    /// Values that are not finite, times below 0, a turn in no time, a headrest that moves within the
    /// run, a ramp share outside 0 (left out) to 0.5.
    pub fn new(
        start: ChairAngles,
        steps: Vec<Step>,
        profile: MoveProfile,
        lever: Lever,
    ) -> Result<HeadMotion, MotionError> {
        check_steps(start, &steps)?;
        if let MoveProfile::Trapezoid { ramp_share: found } = profile
            && !(found > 0.0 && found <= 0.5)
        {
            return Err(MotionError::RampShare { found });
        }
        let seat = seat(start, lever)?;
        let rests = std::iter::once(start)
            .chain(steps.iter().map(|s| s.to))
            .map(|angles| seat.rest(angles))
            .collect();
        let times = times_of(&steps);
        Ok(HeadMotion {
            start,
            steps,
            profile,
            lever,
            times,
            seat,
            course: Course::Steps { rests },
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
        let seat = seat(start, lever)?;
        let steps = recording.steps(headrest_flexion_rad);
        Ok(HeadMotion {
            start,
            times: times_of(&steps),
            steps,
            profile: MoveProfile::default(),
            lever,
            seat,
            course: Course::Samples(recording),
        })
    }

    /// Length of the motion, s.
    pub fn duration_s(&self) -> f64 {
        match &self.course {
            Course::Steps { .. } => self.times.last().map_or(0.0, |t| t.end_s),
            Course::Samples(recording) => recording.duration_s(),
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

    /// The chair's angles at a time.
    pub fn angles_at(&self, t_s: f64) -> ChairAngles {
        let (yaw, track) = self.jets_at(t_s);
        ChairAngles {
            yaw_rad: yaw.value,
            track_rad: track.value,
            headrest_flexion_rad: self.seat.headrest_flexion_rad,
        }
    }

    /// All that the ear feels at a time; at rest before the beginning and after the end.
    ///
    /// Costs a binary search and, while a step moves, two sines; holds cost a copy. Nothing is allocated.
    pub fn at(&self, t_s: f64) -> HeadPose {
        if let Course::Steps { rests } = &self.course {
            let k = self.step_at(t_s);
            let after = self.times.get(k).is_some_and(|t| t_s >= t.hold_from_s);
            if after || t_s < 0.0 || self.times.is_empty() {
                return HeadPose {
                    time_s: t_s,
                    ..rests[k + usize::from(after)]
                };
            }
        }
        let (yaw, track) = self.jets_at(t_s);
        self.seat.pose(t_s, yaw, track)
    }

    fn jets_at(&self, t_s: f64) -> (Jet, Jet) {
        match &self.course {
            Course::Samples(recording) => recording.at(t_s),
            Course::Steps { .. } => self.step_jets_at(t_s),
        }
    }

    fn step_jets_at(&self, t_s: f64) -> (Jet, Jet) {
        let k = self.step_at(t_s);
        let from = if k == 0 {
            self.start
        } else {
            self.steps[k - 1].to
        };
        let rest =
            |angles: ChairAngles| (Jet::at_rest(angles.yaw_rad), Jet::at_rest(angles.track_rad));
        let Some(times) = self.times.get(k) else {
            return rest(from);
        };
        if t_s < 0.0 {
            return rest(from);
        }
        let to = self.steps[k].to;
        if t_s >= times.hold_from_s {
            return rest(to);
        }
        let move_s = self.steps[k].move_s;
        let share = self.profile.share((t_s - times.start_s) / move_s);
        let scaled = |from: f64, to: f64| Jet {
            value: from + (to - from) * share.value,
            rate: (to - from) * share.rate / move_s,
            acceleration: (to - from) * share.acceleration / (move_s * move_s),
        };
        (
            scaled(from.yaw_rad, to.yaw_rad),
            scaled(from.track_rad, to.track_rad),
        )
    }
}

fn seat(start: ChairAngles, lever: Lever) -> Result<Seat, MotionError> {
    finite("headrest flexion", start.headrest_flexion_rad)?;
    finite(
        "height of the head above the track axis",
        lever.head_above_track_axis_mm,
    )?;
    Ok(Seat::new(start.headrest_flexion_rad, lever))
}

fn times_of(steps: &[Step]) -> Vec<StepTimes> {
    let mut start_s = 0.0;
    let mut times = Vec::with_capacity(steps.len());
    for step in steps {
        let hold_from_s = start_s + step.move_s;
        let end_s = hold_from_s + step.hold_s;
        times.push(StepTimes {
            start_s,
            hold_from_s,
            end_s,
        });
        start_s = end_s;
    }
    times
}

fn finite(place: &str, found: f64) -> Result<(), MotionError> {
    if found.is_finite() {
        Ok(())
    } else {
        Err(MotionError::NotFinite {
            place: place.to_owned(),
            found,
        })
    }
}

fn check_steps(start: ChairAngles, steps: &[Step]) -> Result<(), MotionError> {
    finite("start: yaw", start.yaw_rad)?;
    finite("start: track", start.track_rad)?;
    let mut from = start;
    for (i, step) in steps.iter().enumerate() {
        check_step(
            start,
            from,
            step,
            &format!("step {} ({})", i + 1, step.name),
        )?;
        from = step.to;
    }
    Ok(())
}

fn check_step(
    start: ChairAngles,
    from: ChairAngles,
    step: &Step,
    name: &str,
) -> Result<(), MotionError> {
    finite(&format!("{name}: yaw"), step.to.yaw_rad)?;
    finite(&format!("{name}: track"), step.to.track_rad)?;
    for (what, found_s) in [("move time", step.move_s), ("hold time", step.hold_s)] {
        let place = format!("{name}: {what}");
        finite(&place, found_s)?;
        if found_s < 0.0 {
            return Err(MotionError::NegativeTime { place, found_s });
        }
    }
    let (found_rad, start_rad) = (step.to.headrest_flexion_rad, start.headrest_flexion_rad);
    if (found_rad - start_rad).abs() > SAME_FLEXION_RAD || !found_rad.is_finite() {
        return Err(MotionError::HeadrestMoves {
            place: name.to_owned(),
            found_rad,
            start_rad,
        });
    }
    let turn_rad = (step.to.yaw_rad - from.yaw_rad)
        .abs()
        .max((step.to.track_rad - from.track_rad).abs());
    if step.move_s == 0.0 && turn_rad > 0.0 {
        let place = format!("{name}: move time");
        return Err(MotionError::TurnInNoTime {
            place,
            found_rad: turn_rad,
        });
    }
    Ok(())
}
