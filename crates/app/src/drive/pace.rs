//! When the frames of a drive are due: by the clock on the wall, or as a script says.

use std::{
    sync::{
        atomic::{AtomicBool, Ordering},
        mpsc,
    },
    thread,
    time::{Duration, Instant},
};

/// Length of a frame of the engine, s.
pub const FRAME_S: f64 = 1.0 / 60.0;
/// What is shown is made anew this often, at most a quarter of the time.
const SHOW: Duration = Duration::from_millis(33);
/// A wish older than this is that of a window that hangs: the hand has let go.
const STALE: Duration = Duration::from_millis(400);
/// Frames that are late by less than this are caught up with.
const LATE: Duration = Duration::from_millis(100);
/// A script that says nothing is asked again after this whether the drive is over.
const ASK: Duration = Duration::from_millis(20);

/// When frames are due.
pub enum Pace {
    /// By the clock on the wall.
    Clock {
        /// When the next frame is due.
        due: Instant,
        /// When what has come of it is shown again.
        show_after: Instant,
    },
    /// As many as a script says.
    Script {
        /// Further frames, and whom to tell when they are done.
        orders: mpsc::Receiver<Order>,
        /// Frames left of the order.
        left: u32,
        /// To be told when they are done.
        done: Option<mpsc::Sender<()>>,
    },
}

/// Frames to go on by, and whom to tell when they are done.
pub type Order = (u32, mpsc::Sender<()>);

/// Says how many frames a scripted drive goes on.
pub struct Script(mpsc::Sender<Order>);

impl Script {
    /// Has the drive go on by this time and waits for it; false if it is over.
    pub fn go_on(&self, seconds: f64) -> bool {
        let (done, told) = mpsc::channel();
        let frames = (seconds / FRAME_S).round().max(1.0) as u32;
        self.0.send((frames, done)).is_ok() && told.recv().is_ok()
    }
}

impl Pace {
    /// By the clock on the wall, from now on.
    pub fn clock() -> Self {
        let now = Instant::now();
        Pace::Clock {
            due: now,
            show_after: now,
        }
    }

    /// By a script.
    pub fn script() -> (Self, Script) {
        let (orders, receiver) = mpsc::channel();
        let pace = Pace::Script {
            orders: receiver,
            left: 0,
            done: None,
        };
        (pace, Script(orders))
    }

    /// Waits for the next frame; false once the drive is `over`.
    pub(super) fn wait(&mut self, over: &AtomicBool) -> bool {
        match self {
            Pace::Clock { due, .. } => match due.checked_duration_since(Instant::now()) {
                Some(rest) => thread::sleep(rest),
                // A late frame is caught up with; on too slow a machine time goes slower, it does not jump.
                None if due.elapsed() < LATE => {}
                None => *due = Instant::now(),
            },
            Pace::Script { orders, left, done } => {
                while *left == 0 {
                    if let Some(done) = done.take() {
                        let _ = done.send(());
                    }
                    if over.load(Ordering::Relaxed) {
                        return false;
                    }
                    match orders.recv_timeout(ASK) {
                        Ok((frames, whom)) => (*left, *done) = (frames, Some(whom)),
                        Err(mpsc::RecvTimeoutError::Timeout) => {}
                        Err(mpsc::RecvTimeoutError::Disconnected) => return false,
                    }
                }
            }
        }
        !over.load(Ordering::Relaxed)
    }

    /// A frame has been computed.
    pub(super) fn count(&mut self) {
        match self {
            Pace::Clock { due, .. } => *due += Duration::from_secs_f64(FRAME_S),
            Pace::Script { left, .. } => *left -= 1,
        }
    }

    /// A wish of that time still counts.
    pub(super) fn is_fresh(&self, asked: Instant) -> bool {
        match self {
            Pace::Clock { .. } => asked.elapsed() < STALE,
            Pace::Script { .. } => true,
        }
    }

    /// Shows what has come of it, if that is due.
    pub(super) fn show(&mut self, show: impl FnOnce()) {
        match self {
            Pace::Clock { show_after, .. } => {
                let began = Instant::now();
                if began >= *show_after {
                    show();
                    *show_after = began + SHOW.max(began.elapsed() * 4);
                }
            }
            Pace::Script { left: 0, .. } => show(),
            Pace::Script { .. } => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_script_has_as_many_frames_as_it_says_and_shows_the_last() {
        let (mut pace, script) = Pace::script();
        let over = AtomicBool::new(false);
        let thread = thread::spawn(move || {
            let (mut frames, mut shown) = (0, 0);
            while pace.wait(&over) {
                frames += 1;
                pace.count();
                pace.show(|| shown += 1);
            }
            (frames, shown)
        });
        assert!(script.go_on(0.5) && script.go_on(1.0));
        drop(script);
        // Sixty frames a second.
        assert_eq!(thread.join().unwrap(), (90, 2));
    }
}
