//! The thread that steps chair and ear while somebody drives.

use std::{
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicBool, Ordering},
    },
    thread::{self, JoinHandle},
    time::Instant,
};

use lithodrome_chair::{Ask, Axis, ChairAngles, Lever, MotionError, StepTimes, hand_pose};
use lithodrome_debris::{Live, Snapshot};
use lithodrome_labyrinth::Region;
use lithodrome_rehearsal::{
    LimitWatch, REST_MM_S, Scenario, Whose, drive_as_scenario, driven_step,
};

use super::{
    Advice, Now,
    pace::{FRAME_S, Pace},
    recording,
    target::{Target, is_near},
};
use crate::{work::progress::Waker, work::stage_data::Loaded};

/// The record of a drive is handed over this often to be kept, s of the drive; later, when it is long, less often.
const KEEP_S: f64 = 1.0;
/// From then on it is handed over every [`KEEP_LATER_S`].
const LATER_S: f64 = 60.0;
const KEEP_LATER_S: f64 = 4.0;
/// A hold that has not begun begins so much after now, s.
const NEVER_S: f64 = 1e-6;
/// Whether debris moves is judged over this time, s.
const JUDGED_S: f64 = 0.5;

/// What the hand asks for now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wish {
    /// For yaw and track.
    pub asks: [Ask; 2],
    /// When it was asked for.
    pub at: Instant,
}

/// What came of it so far.
#[derive(Clone)]
pub struct Driven {
    /// The drive as a run in the plan's case.
    pub loaded: Arc<Loaded>,
    /// Time since the start, s.
    pub time_s: f64,
    /// The chair now.
    pub angles: ChairAngles,
    /// Since when the chair stands, s of the drive; `None` while it turns.
    pub rests_since_s: Option<f64>,
    /// How fast the head turns, rad/s.
    pub speed_rad_s: f64,
    /// What to do.
    pub advice: Advice,
    /// Which step of the plan this is.
    pub target: Target,
    /// The drive as a scenario, once it is over.
    pub scenario: Option<Arc<Scenario>>,
    /// What went wrong, in words; the drive is then over.
    pub failed: Option<String>,
}

struct Shared {
    wish: Mutex<Wish>,
    shown: Mutex<Option<Driven>>,
    /// The step to aim at from now on, if the person chose one.
    aim: Mutex<Option<usize>>,
    /// The record so far, until it is fetched.
    record: Mutex<Option<Arc<Scenario>>>,
    over: AtomicBool,
    /// Time stands still.
    paused: AtomicBool,
}

/// A drive.
pub struct Driver {
    shared: Arc<Shared>,
    thread: JoinHandle<()>,
    /// What was planned.
    pub plan: Arc<Loaded>,
}

impl Driver {
    /// Starts from the plan's start.
    pub fn start(plan: Arc<Loaded>, waker: Waker, pace: Pace) -> Self {
        let shared = Arc::new(Shared {
            wish: Mutex::new(Wish {
                asks: [Ask::Nothing; 2],
                at: Instant::now(),
            }),
            shown: Mutex::new(None),
            aim: Mutex::new(None),
            record: Mutex::new(None),
            over: AtomicBool::new(false),
            paused: AtomicBool::new(false),
        });
        let (of_thread, of_plan) = (shared.clone(), plan.clone());
        let thread = thread::spawn(move || drive(&of_thread, &of_plan, &waker, pace));
        Self {
            shared,
            thread,
            plan,
        }
    }

    /// Hands over what the hand asks for.
    pub fn wish(&self, asks: [Ask; 2]) {
        let mut wish = self
            .shared
            .wish
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        *wish = Wish {
            asks,
            at: Instant::now(),
        };
    }

    /// Aims at a step of the plan from now on.
    pub fn aim_at(&self, step: usize) {
        let mut aim = self
            .shared
            .aim
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        *aim = Some(step);
    }

    /// What came of it so far.
    pub fn driven(&self) -> Option<Driven> {
        let shown = self
            .shared
            .shown
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        shown.clone()
    }

    /// The record of the drive so far, once every few seconds.
    pub fn take_record(&self) -> Option<Arc<Scenario>> {
        let mut record = self
            .shared
            .record
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        record.take()
    }

    /// Time stands still as long as this is so, chair and debris with it.
    pub fn pause(&self, paused: bool) {
        self.shared.paused.store(paused, Ordering::Relaxed);
    }

    /// Ends the drive.
    pub fn stop(&self) {
        self.shared.over.store(true, Ordering::Relaxed);
    }

    /// It has been told to end.
    pub fn is_stopping(&self) -> bool {
        self.shared.over.load(Ordering::Relaxed)
    }

    /// It is over, and what came of it will not change any more.
    pub fn is_over(&self) -> bool {
        self.thread.is_finished()
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        self.stop();
    }
}

/// Everything that the thread keeps.
struct Seat {
    live: Live,
    yaw: Axis,
    track: Axis,
    start: ChairAngles,
    steps: Vec<StepTimes>,
    /// Where the plan's steps hold the chair.
    planned: Vec<ChairAngles>,
    target: Target,
    /// Where bodies were a while ago, to tell whether they move.
    before: Snapshot,
    debris_moves: bool,
    rests_since_s: Option<f64>,
    speed_rad_s: f64,
    /// Over the limits of patient and chair.
    watches: Vec<LimitWatch>,
}

fn drive(shared: &Shared, plan: &Loaded, waker: &Waker, mut pace: Pace) {
    let mut seat = Seat::new(plan);
    let mut keep_at_s = KEEP_S;
    while pace.wait(&shared.over) {
        if shared.paused.load(Ordering::Relaxed) {
            pace.count();
            continue;
        }
        let wish = *shared.wish.lock().unwrap_or_else(PoisonError::into_inner);
        let asks = if pace.is_fresh(wish.at) {
            wish.asks
        } else {
            [Ask::Nothing; 2]
        };
        let aim = shared
            .aim
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .take();
        if let Some(step) = aim {
            seat.aim_at(step);
        }
        if let Err(words) = seat.advance(asks, FRAME_S) {
            let mut driven = seat.finish(plan);
            driven.failed = Some(words);
            put(shared, driven);
            waker();
            return;
        }
        if seat.live.time_s() >= keep_at_s {
            // Too short a record is no scenario yet.
            if let Ok(record) = seat.record(plan) {
                *shared.record.lock().unwrap_or_else(PoisonError::into_inner) = Some(record);
            }
            let time_s = seat.live.time_s();
            keep_at_s = time_s
                + if time_s < LATER_S {
                    KEEP_S
                } else {
                    KEEP_LATER_S
                };
        }
        pace.count();
        pace.show(|| {
            put(shared, seat.shown(plan));
            waker();
        });
    }
    put(shared, seat.finish(plan));
    waker();
}

fn put(shared: &Shared, driven: Driven) {
    *shared.shown.lock().unwrap_or_else(PoisonError::into_inner) = Some(driven);
}

impl Seat {
    fn new(plan: &Loaded) -> Self {
        let start = plan.compiled.motion.start;
        let axis = |angle_rad| Axis {
            angle_rad,
            ..Axis::default()
        };
        let pose = plan.compiled.motion.at(0.0);
        let model = Arc::new(plan.compiled.model.clone());
        let live = Live::new(model, plan.compiled.engine, &pose);
        let limits = [
            (plan.scenario.limits, Whose::Patient),
            (plan.scenario.chair_limits, Whose::Chair),
        ];
        let watches = limits.map(|(limits, whose)| Some(LimitWatch::new(limits?, whose)));
        Self {
            before: live.snapshot(),
            live,
            yaw: axis(start.yaw_rad),
            track: axis(start.track_rad),
            start,
            steps: vec![StepTimes {
                start_s: 0.0,
                hold_from_s: 0.0,
                end_s: 0.0,
            }],
            planned: planned_holds(plan),
            target: Target::default(),
            debris_moves: false,
            rests_since_s: Some(0.0),
            speed_rad_s: 0.0,
            watches: watches.into_iter().flatten().collect(),
        }
    }

    fn angles(&self) -> ChairAngles {
        ChairAngles {
            yaw_rad: self.yaw.angle_rad,
            track_rad: self.track.angle_rad,
            ..self.start
        }
    }

    fn aim_at(&mut self, step: usize) {
        self.target = Target {
            step: step.min(self.planned.len().saturating_sub(1)),
            reached: false,
        };
    }

    fn advance(&mut self, asks: [Ask; 2], dt_s: f64) -> Result<(), String> {
        self.yaw.follow(asks[0], dt_s);
        self.track.follow(asks[1], dt_s);
        let headrest_rad = self.start.headrest_flexion_rad;
        let pose = hand_pose(
            self.live.time_s() + dt_s,
            &self.yaw,
            &self.track,
            headrest_rad,
            Lever::default(),
        );
        self.live
            .advance(&pose, dt_s)
            .map_err(|e| format!("the drive has ended: {e}"))?;
        self.speed_rad_s = pose.angular_velocity_in_head_rad_s.norm();
        let time_s = self.live.time_s();
        let at_rest = self.yaw.is_at_rest() && self.track.is_at_rest();
        self.count(time_s, at_rest);
        for watch in &mut self.watches {
            watch.see(self.steps.len() - 1, &pose);
        }
        let angles = self.angles();
        self.target.look(&self.planned, angles, at_rest);
        if time_s - self.before.time_s >= JUDGED_S {
            let now = self.live.snapshot();
            self.debris_moves = moves(&self.before, &now);
            self.before = now;
        }
        Ok(())
    }

    /// Moves and holds: a hold begins when the chair stands.
    fn count(&mut self, time_s: f64, at_rest: bool) {
        if !at_rest && self.rests_since_s.take().is_some() {
            self.steps.push(StepTimes {
                start_s: time_s,
                hold_from_s: time_s,
                end_s: time_s,
            });
        }
        if let Some(step) = self.steps.last_mut() {
            step.end_s = time_s;
            if !at_rest || self.rests_since_s.is_none() {
                step.hold_from_s = time_s;
            }
        }
        if at_rest {
            self.rests_since_s.get_or_insert(time_s);
        }
    }

    fn shown(&self, plan: &Loaded) -> Driven {
        self.driven(plan, recording::view(self.live.so_far()))
    }

    /// The drive so far as a scenario.
    fn record(&self, plan: &Loaded) -> Result<Arc<Scenario>, MotionError> {
        let names = |there| self.name_of(plan, there);
        let headrest_rad = self.start.headrest_flexion_rad;
        let (angles, steps) = (self.live.angles(), &self.steps);
        drive_as_scenario(&plan.scenario, angles, headrest_rad, steps, names).map(Arc::new)
    }

    fn finish(self, plan: &Loaded) -> Driven {
        let mut driven = self.shown(plan);
        match self.record(plan) {
            Ok(scenario) => driven.scenario = Some(scenario),
            Err(error) => driven.failed = Some(error.to_string()),
        }
        driven
    }

    /// Name of the step of the plan that holds the chair there.
    fn name_of(&self, plan: &Loaded, there: ChairAngles) -> Option<String> {
        let step = self.planned.iter().position(|&p| is_near(p, there))?;
        plan.scenario.steps.get(step).map(|s| s.name.clone())
    }

    fn driven(&self, plan: &Loaded, mut run: lithodrome_debris::Run) -> Driven {
        let time_s = self.live.time_s();
        run.duration_s = time_s;
        let breaches = self.watches.iter();
        let breaches = breaches.flat_map(|w| w.breaches(driven_step));
        let angles = self.live.angles();
        let mut steps = self.steps.clone();
        if let Some(step) = steps.last_mut().filter(|_| self.rests_since_s.is_none()) {
            // Its hold is still to come.
            step.hold_from_s = time_s + NEVER_S;
            step.end_s = step.hold_from_s;
        }
        let loaded = recording::as_loaded(plan, run, angles, &steps, breaches.collect());
        let slow_phase = loaded.eyes.debris_slow_phase_rad_s.last();
        let seen = slow_phase.is_some_and(|v| v.norm() >= plan.judging.visible_rad_s);
        let inside = loaded.inside_at(time_s);
        Driven {
            advice: Advice::of(Now {
                chair_moves: self.rests_since_s.is_none(),
                in_place: self.target.reached || self.planned.is_empty(),
                pieces_inside: inside,
                debris_moves: self.debris_moves,
                nystagmus_seen: seen,
            }),
            loaded: Arc::new(loaded),
            time_s,
            angles: self.angles(),
            rests_since_s: self.rests_since_s,
            speed_rad_s: self.speed_rad_s,
            target: self.target,
            scenario: None,
            failed: None,
        }
    }
}

/// Where each step of a plan holds the chair.
pub fn planned_holds(plan: &Loaded) -> Vec<ChairAngles> {
    let holds = plan.step_times.iter().map(|t| t.hold_from_s);
    holds.map(|t| plan.angles_at(t)).collect()
}

/// Some body in a duct or the crus has moved faster than what counts as resting.
fn moves(before: &Snapshot, now: &Snapshot) -> bool {
    let dt_s = now.time_s - before.time_s;
    before.bodies.iter().zip(&now.bodies).any(|(a, b)| {
        matches!(b.place.region, Region::Duct(_) | Region::CommonCrus)
            && (b.position_in_reid_mm - a.position_in_reid_mm).norm() > f64::from(REST_MM_S) * dt_s
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn holds_count_from_when_the_chair_stands() {
        let loaded = crate::work::load::load(
            &crate::work::load::Job {
                origin: crate::work::stage_data::Origin::Shipped,
                draft: None,
            },
            &crate::work::ears::Ears::default(),
            &(Arc::new(|| {}) as Waker),
            &|_| true,
        )
        .unwrap();
        let mut seat = Seat::new(&loaded);
        let mut run = |seconds: f64, track: Ask| {
            for _ in 0..(seconds * 60.0) as usize {
                seat.advance([Ask::Nothing, track], FRAME_S).unwrap();
            }
        };
        run(1.0, Ask::Nothing);
        run(2.0, Ask::Rate(0.8));
        run(3.0, Ask::Nothing);
        assert_eq!(seat.steps.len(), 2);
        let step = seat.steps[1];
        assert!((step.start_s - 1.0).abs() < 0.04, "{step:?}");
        // It brakes for 0.8 / 2.618 = 0.31 s after the hand lets go at 3 s.
        assert!((step.hold_from_s - 3.3).abs() < 0.1, "{step:?}");
        assert!((step.end_s - 6.0).abs() < 0.04);
        let driven = seat.shown(&loaded);
        assert_eq!(driven.advice, Advice::GetThere, "between two steps");
        assert!(driven.angles.track_rad > 1.2);
        let scenario = seat.finish(&loaded).scenario.unwrap();
        let track = scenario.steps.last().and_then(|s| s.track_deg).unwrap();
        assert!((track - driven.angles.track_rad.to_degrees()).abs() < 0.1);
    }
}
