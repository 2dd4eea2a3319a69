//! One lane's run: where it is in time, and how long its steps are.

use lithodrome_labyrinth::Region;

use super::march::Job;
use crate::model::{Drive, Model};
use crate::mover::next_step;
use crate::pace::{self, Gait};
use crate::record::is_out;
use crate::run::Work;
use crate::state::FIRST_STEP_S;
use crate::stretch::{Spans, Stretch};

/// Twin of the loops in `simulate` and in the scalar `advance`.
pub(crate) struct Runner<'a> {
    pub(crate) index: usize,
    pub(crate) model: &'a Model,
    spans: Spans<'a>,
    /// Number of the span after this stretch.
    next_span: usize,
    stretch: Stretch,
    time_s: f64,
    /// The step under way: its end, its length, its drives, how much of it is done.
    next_s: f64,
    dt_s: f64,
    drives: [Drive; 3],
    done_s: f64,
    /// Length of the part of it that is tried, s.
    pub(crate) part_s: f64,
    /// Length of the last part, s, and how far its place was foretold wrong, mm.
    pub(crate) last_s: f64,
    error_mm: f64,
    /// When the body left for the utricle.
    pub(crate) exit_s: Option<f64>,
    pub(crate) work: Work,
}

impl<'a> Runner<'a> {
    pub(crate) fn new(job: &Job<'a>, spans: Spans<'a>) -> Runner<'a> {
        let stretch = Stretch::over(job.model, &spans.get(0, 0.0), None);
        Runner {
            index: job.index,
            model: job.model,
            spans,
            next_span: 1,
            drives: stretch.drives(stretch.from_s, stretch.to_s),
            stretch,
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
        self.time_s >= self.spans.duration_s()
    }

    /// The drives at both ends of the part that is tried next, of a body of this gait, and whether the
    /// head is held.
    pub(crate) fn next_part(&mut self, gait: Gait, asleep: bool) -> ([Drive; 2], bool) {
        if self.done_s >= self.dt_s {
            self.begin(gait, asleep);
        }
        self.part_s = pace::part_s(self.part_s, self.dt_s - self.done_s);
        let held = self.stretch.held;
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
    fn begin(&mut self, gait: Gait, asleep: bool) {
        if self.time_s >= self.stretch.to_s {
            let before = self.stretch;
            let span = self.spans.get(self.next_span, self.time_s);
            self.stretch = Stretch::over(self.model, &span, Some(&before));
            self.next_span += 1;
        }
        let moving = !self.stretch.held;
        let awake = (moving || !asleep).then_some(gait);
        let limit_s = pace::longest_s(self.model, awake.into_iter(), moving).min(pace::next_s(
            self.model,
            self.last_s,
            self.error_mm,
        ));
        (self.dt_s, self.next_s) = next_step(self.time_s, self.stretch.to_s, limit_s);
        self.drives = self.stretch.drives(self.time_s, self.next_s);
        (self.done_s, self.part_s) = (0.0, self.dt_s);
        self.work.steps += 1;
    }

    /// Whether the part that was tried is good enough; if not, the next one is shorter.
    pub(crate) fn judge(&mut self, error_mm: f64) -> bool {
        self.error_mm = error_mm;
        let bad = error_mm > pace::bad_mm(self.model);
        if bad && self.part_s > 2.0 * pace::shortest_s(self.model) {
            self.part_s = pace::shorter_s(self.model, self.part_s);
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
            self.part_s = pace::next_s(self.model, self.part_s, self.error_mm);
        } else {
            self.done_s = self.dt_s;
            self.time_s = self.next_s;
        }
    }
}
