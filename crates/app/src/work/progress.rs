//! How far work on another thread is, and the wish that it stops.

use std::sync::{
    Arc,
    atomic::{AtomicBool, AtomicU32, Ordering},
};

/// Wakes the window.
pub type Waker = Arc<dyn Fn() + Send + Sync>;

/// Shared by the window and a thread that works for it.
pub struct Progress {
    per_mille: AtomicU32,
    stopped: AtomicBool,
    waker: Waker,
}

impl Progress {
    /// Nothing done yet; `waker` has the window look again.
    pub fn new(waker: Waker) -> Arc<Self> {
        Arc::new(Self {
            per_mille: AtomicU32::new(0),
            stopped: AtomicBool::new(false),
            waker,
        })
    }

    /// Tells the share done, 0 to 1; false if the work is to stop.
    pub fn tell(&self, share: f64) -> bool {
        self.per_mille
            .store((share * 1000.0) as u32, Ordering::Relaxed);
        self.wake();
        !self.is_stopped()
    }

    /// Has the window look again.
    pub fn wake(&self) {
        (self.waker)();
    }

    /// The share done, 0 to 1.
    pub fn share(&self) -> f32 {
        self.per_mille.load(Ordering::Relaxed) as f32 / 1000.0
    }

    /// Asks the work to stop; its answer no longer counts.
    pub fn stop(&self) {
        self.stopped.store(true, Ordering::Relaxed);
    }

    /// It has been asked to.
    pub fn is_stopped(&self) -> bool {
        self.stopped.load(Ordering::Relaxed)
    }

    /// What wakes the window.
    pub(crate) fn waker(&self) -> &Waker {
        &self.waker
    }
}
