//! A motion in segments: holds, and moves in parts so short that a parabola follows what the ear feels.

use std::rc::Rc;

use lithodrome_chair::{HeadMotion, HeadPose};
use lithodrome_labyrinth::Vec3;

use super::build::Model;
use super::drive::Drive;

/// Longest part of a move, s.
const LONGEST_S: f64 = 0.12;

/// The segments of longer motions are not remembered, s.
const LONG_S: f64 = 3600.0;

/// A segment of a motion as the ears feel it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Segment {
    pub(crate) from_s: f64,
    pub(crate) to_s: f64,
    /// The head is at rest all the time.
    pub(crate) held: bool,
    /// At the beginning, half way, at the end.
    ends: [Drive; 3],
}

/// The same as the head moves, whatever ear it has.
#[derive(Clone, Copy, Debug)]
pub(crate) struct HeadSegment {
    from_s: f64,
    to_s: f64,
    held: bool,
    /// At the beginning, half way, at the end.
    poses: [HeadPose; 3],
}

impl HeadSegment {
    /// The segment that begins at `time_s`.
    fn at(motion: &HeadMotion, time_s: f64) -> HeadSegment {
        let (end_s, held) = phase(motion, time_s);
        let mut to_s = end_s;
        if !held {
            let longest_s = LONGEST_S.min(motion.longest_step_s(time_s));
            let parts = ((end_s - time_s) / longest_s - 1e-9).ceil();
            if parts > 1.0 {
                to_s = time_s + (end_s - time_s) / parts;
            }
        }
        let first = motion.at(time_s);
        let poses = if held {
            [first; 3]
        } else {
            [first, motion.at(0.5 * (time_s + to_s)), motion.at(to_s)]
        };
        HeadSegment {
            from_s: time_s,
            to_s,
            held,
            poses,
        }
    }
}

/// All of a motion's segments, worked out once for many runs, but for very long motions.
#[derive(Clone)]
pub(crate) struct HeadSegments<'a> {
    motion: &'a HeadMotion,
    all: Option<Rc<[HeadSegment]>>,
}

impl<'a> HeadSegments<'a> {
    pub(crate) fn of(motion: &'a HeadMotion) -> HeadSegments<'a> {
        let duration_s = motion.duration_s();
        let all = (duration_s <= LONG_S).then(|| {
            let mut all = vec![HeadSegment::at(motion, 0.0)];
            while let Some(last) = all.last().filter(|last| last.to_s < duration_s) {
                all.push(HeadSegment::at(motion, last.to_s));
            }
            all.into()
        });
        HeadSegments { motion, all }
    }

    pub(crate) fn are_of(&self, motion: &HeadMotion) -> bool {
        std::ptr::eq(self.motion, motion)
    }

    pub(crate) fn duration_s(&self) -> f64 {
        self.motion.duration_s()
    }

    /// The segment of this number, which begins at `time_s`.
    pub(crate) fn get(&self, number: usize, time_s: f64) -> HeadSegment {
        match self.all.as_ref().and_then(|all| all.get(number)) {
            Some(head) => *head,
            None => HeadSegment::at(self.motion, time_s),
        }
    }
}

impl Segment {
    /// The segment that begins at `time_s`; `before` is the one that ends there.
    pub(crate) fn after(
        model: &Model,
        motion: &HeadMotion,
        time_s: f64,
        before: Option<&Segment>,
    ) -> Segment {
        Segment::over(model, &HeadSegment::at(motion, time_s), before)
    }

    /// A segment of the head's motion as the ears of a model feel it.
    pub(crate) fn over(model: &Model, head: &HeadSegment, before: Option<&Segment>) -> Segment {
        let [first, mid, last] = &head.poses;
        let first = match before {
            Some(before) => before.ends[2],
            None => model.drive(first),
        };
        let ends = if head.held {
            let still = Drive {
                turning_rad_s: Vec3::zeros(),
                ..first
            };
            [still; 3]
        } else {
            [first, model.drive(mid), model.drive(last)]
        };
        Segment {
            from_s: head.from_s,
            to_s: head.to_s,
            held: head.held,
            ends,
        }
    }

    /// The drives at two times in it and half way between them.
    pub(crate) fn drives(&self, from_s: f64, to_s: f64) -> [Drive; 3] {
        if self.held {
            return self.ends;
        }
        let ends = self.ends.each_ref();
        [from_s, 0.5 * (from_s + to_s), to_s]
            .map(|t_s| Drive::between(ends, (t_s - self.from_s) / (self.to_s - self.from_s)))
    }
}

/// The end of the move or hold that `time_s` lies in, and whether it is a hold.
fn phase(motion: &HeadMotion, time_s: f64) -> (f64, bool) {
    let duration_s = motion.duration_s();
    let Some(times) = motion.times().get(motion.step_at(time_s)) else {
        return (duration_s, false);
    };
    // The last step's end is the run's, to the last bit.
    let end_s = if times.end_s > duration_s {
        duration_s
    } else {
        times.end_s
    };
    if time_s < times.hold_from_s {
        (times.hold_from_s, false)
    } else if time_s < end_s {
        (end_s, true)
    } else {
        (duration_s, false)
    }
}
