//! The thread that steps chair and ear while somebody drives.

use std::{
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicBool, Ordering},
    },
    thread::{self, JoinHandle},
    time::Instant,
};

use lithodrome_chair::Ask;
use lithodrome_rehearsal::Scenario;

use super::{
    driven::Driven,
    pace::{FRAME_S, Pace},
    seat::{Begin, Seat},
};
use crate::{work::progress::Waker, work::stage_data::Loaded};

/// The record of a drive is handed over this often to be kept, s of the drive; later, when it is long, less often.
const KEEP_S: f64 = 1.0;
/// From then on it is handed over every [`KEEP_LATER_S`].
const LATER_S: f64 = 60.0;
const KEEP_LATER_S: f64 = 4.0;

/// What the hand asks for now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wish {
    /// For yaw and track.
    pub asks: [Ask; 2],
    /// When it was asked for.
    pub at: Instant,
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
    /// Starts at the plan's start, or where its run ends.
    pub fn start(plan: Arc<Loaded>, begin: Begin, waker: Waker, pace: Pace) -> Self {
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
        let thread = thread::spawn(move || drive(&of_thread, &of_plan, begin, &waker, pace));
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

fn drive(shared: &Shared, plan: &Loaded, begin: Begin, waker: &Waker, mut pace: Pace) {
    let mut seat = Seat::new(plan, begin);
    if let Err(words) = seat.go_to_begin(plan) {
        give_up(shared, seat, plan, words);
        waker();
        return;
    }
    let mut keep_at_s = seat.time_s() + KEEP_S;
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
            give_up(shared, seat, plan, words);
            waker();
            return;
        }
        if seat.time_s() >= keep_at_s {
            // Too short a record is no scenario yet.
            if let Ok(record) = seat.record(plan) {
                *shared.record.lock().unwrap_or_else(PoisonError::into_inner) = Some(record);
            }
            let time_s = seat.time_s();
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

fn give_up(shared: &Shared, seat: Seat, plan: &Loaded, words: String) {
    let mut driven = seat.finish(plan);
    driven.failed = Some(words);
    put(shared, driven);
}
