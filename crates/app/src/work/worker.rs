//! Reading and computing on a thread of its own, so that the window never waits.

use std::{
    sync::{Arc, mpsc},
    thread,
    time::Instant,
};

use crate::{
    session::draft::Fault,
    work::ears::Ears,
    work::load::{Job, load},
    work::progress::{Progress, Waker},
    work::stage_data::Loaded,
};

/// What a computation is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Purpose {
    /// A file to open; what is open stays if it fails.
    Open,
    /// A draft that is open already, shown from its start.
    Fresh,
    /// A change of the draft; the cursor stays.
    Change,
}

struct Running {
    generation: u64,
    since: Instant,
    progress: Arc<Progress>,
}

/// What a job brings back: its generation, and the result or what went wrong.
type Answer = (u64, Result<Loaded, Fault>);

/// Runs one job at a time; a newer job makes the older one's answer void.
pub struct Worker {
    waker: Waker,
    sender: mpsc::Sender<Answer>,
    receiver: mpsc::Receiver<Answer>,
    generation: u64,
    running: Option<Running>,
    ears: Arc<Ears>,
}

impl Worker {
    /// An idle worker.
    pub fn new(waker: Waker) -> Self {
        let (sender, receiver) = mpsc::channel();
        Self {
            waker,
            sender,
            receiver,
            generation: 0,
            running: None,
            ears: Arc::default(),
        }
    }

    /// What wakes the window.
    pub(crate) fn waker(&self) -> Waker {
        self.waker.clone()
    }

    /// Starts a job and drops the one under way.
    pub fn start(&mut self, job: Job) {
        self.cancel();
        self.generation += 1;
        let generation = self.generation;
        let progress = Progress::new(self.waker.clone());
        self.running = Some(Running {
            generation,
            since: Instant::now(),
            progress: progress.clone(),
        });
        let sender = self.sender.clone();
        let ears = self.ears.clone();
        thread::spawn(move || {
            if let Some(answer) = compute(&job, &ears, &progress) {
                let _ = sender.send((generation, answer));
            }
            progress.wake();
        });
    }

    /// Drops the job under way.
    pub fn cancel(&mut self) {
        if let Some(running) = self.running.take() {
            running.progress.stop();
        }
    }

    /// The share done of the job under way.
    pub fn share(&self) -> Option<f32> {
        let running = self.running.as_ref()?;
        Some(running.progress.share())
    }

    /// How long the job under way has been going on.
    pub fn since(&self) -> Option<Instant> {
        self.running.as_ref().map(|r| r.since)
    }

    /// The answer of the job under way, once.
    pub fn take(&mut self) -> Option<Result<Loaded, Fault>> {
        while let Ok((generation, answer)) = self.receiver.try_recv() {
            if self
                .running
                .as_ref()
                .is_some_and(|r| r.generation == generation)
            {
                self.running = None;
                return Some(answer);
            }
        }
        None
    }
}

/// `None` if cancelled.
fn compute(job: &Job, ears: &Ears, progress: &Progress) -> Option<Result<Loaded, Fault>> {
    let answer = load(job, ears, progress.waker(), &|share| progress.tell(share));
    (!progress.is_stopped()).then_some(answer)
}
