//! One lane's run: where it is in time, and how long its steps are.

use lithodrome_labyrinth::Region;

use super::job::Job;
use crate::model::{Drive, HeadSegments, Model, Segment};
use crate::place::{Work, is_out};
use crate::settling::memory::FIRST_STEP_S;
use crate::settling::step_size::{self, BodyLimits, next_step};

/// Twin of the loops in `simulate` and in the scalar `advance`.
pub(crate) struct Runner<'a> {
    pub(crate) index: usize,
    pub(crate) model: &'a Model,
    segments: HeadSegments<'a>,
    /// Number of the segment after this one.
    next_number: usize,
    segment: Segment,
    time_s: f64,
    /// The step under way: its end, its length, its drives, how much of it is done.
    next_s: f64,
    dt_s: f64,
    drives: [Drive; 3],
    done_s: f64,
    /// Length of the part of it that is tried, s.
    pub(crate) part_s: f64,
    /// Length of the last part, s, and how far its place was predicted wrong, mm.
    pub(crate) last_s: f64,
    error_mm: f64,
    /// When the body left for the utricle.
    pub(crate) exit_s: Option<f64>,
    pub(crate) work: Work,
}

impl<'a> Runner<'a> {
    pub(crate) fn new(job: &Job<'a>, segments: HeadSegments<'a>) -> Runner<'a> {
        let segment = Segment::over(job.model, &segments.get(0, 0.0), None);
        Runner {
            index: job.index,
            model: job.model,
            segments,
            next_number: 1,
            drives: segment.drives(segment.from_s, segment.to_s),
            segment,
            time_s: 0.0,
            next_s: 0.0,
            dt_s: 0.0,
            done_s: 0.0,
            part_s: 0.0,
            last_s: FIRST_STEP_S,
            error_mm: 0.0,
            exit_s: None,
            work: Work::default(),
        }
    }

    pub(crate) fn is_over(&self) -> bool {
        self.time_s >= self.segments.duration_s()
    }

    /// The drives at both ends of the part that is tried next, under these limits of its body, and whether the
    /// head is held; `still` says that the endolymph has come to rest.
    pub(crate) fn next_part(
        &mut self,
        limits: BodyLimits,
        asleep: bool,
        still: bool,
    ) -> ([Drive; 2], bool) {
        if self.done_s >= self.dt_s {
            self.begin(limits, asleep, still);
        }
        self.part_s = step_size::part_s(self.part_s, self.dt_s - self.done_s);
        let held = self.segment.held;
        if held {
            return ([self.drives[0]; 2], held);
        }
        let drives = self.drives.each_ref();
        let ends = [self.done_s, self.done_s + self.part_s];
        (
            ends.map(|at_s| Drive::between(drives, at_s / self.dt_s)),
            held,
        )
    }

    /// Begins a step.
    fn begin(&mut self, limits: BodyLimits, asleep: bool, still: bool) {
        if self.time_s >= self.segment.to_s {
            let before = self.segment;
            let head = self.segments.get(self.next_number, self.time_s);
            self.segment = Segment::over(self.model, &head, Some(&before));
            self.next_number += 1;
        }
        let moving = !self.segment.held;
        let awake = (moving || !asleep).then_some(limits);
        let limit_s = step_size::longest_s(self.model, awake.into_iter(), moving, still)
            .min(step_size::next_s(self.model, self.last_s, self.error_mm));
        (self.dt_s, self.next_s) = next_step(self.time_s, self.segment.to_s, limit_s);
        self.drives = self.segment.drives(self.time_s, self.next_s);
        (self.done_s, self.part_s) = (0.0, self.dt_s);
        self.work.steps += 1;
    }

    /// Whether the part that was tried is good enough; if not, the next one is shorter.
    pub(crate) fn judge(&mut self, error_mm: f64) -> bool {
        self.error_mm = error_mm;
        let bad = error_mm > step_size::bad_mm(self.model);
        if bad && self.part_s > 2.0 * step_size::shortest_s(self.model) {
            self.part_s = step_size::shorter_s(self.model, self.part_s);
            return false;
        }
        true
    }

    /// The body goes from one part of the labyrinth to another at a share of the part of the step.
    pub(crate) fn passes(&mut self, [was, is]: [Region; 2], share: f64) {
        if !is_out(is) {
            self.exit_s = None;
        } else if !is_out(was) {
            let start_s = self.next_s - self.dt_s + self.done_s;
            self.exit_s = Some(start_s + share * self.part_s);
        }
    }

    /// The part that was tried is done.
    pub(crate) fn end_part(&mut self, moved: bool) {
        self.work.body_steps += u64::from(moved);
        self.last_s = self.part_s;
        if self.part_s < self.dt_s - self.done_s {
            self.done_s += self.part_s;
            self.part_s = step_size::next_s(self.model, self.part_s, self.error_mm);
        } else {
            self.done_s = self.dt_s;
            self.time_s = self.next_s;
        }
    }
}
