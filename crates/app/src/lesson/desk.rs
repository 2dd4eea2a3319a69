//! Computes what a lesson asks for on a thread of its own.

use std::{
    sync::{Arc, mpsc},
    thread,
};

use lithodrome_rehearsal::{
    Act, Debrief, HiddenCase, Patient, Recording, RehearsalError, Seen, SessionRecord, debrief,
    recording,
};

use crate::{
    work::ears::Ears, work::load::session_shown, work::progress::Waker, work::stage_data::Loaded,
};

/// What to compute.
pub(crate) enum DeskJob {
    /// A case, before anything is done to it.
    Begin(HiddenCase),
    /// A session so far.
    Go(Arc<Patient>, Vec<Act>),
    /// The debrief and a good run.
    Debrief(Arc<Patient>, SessionRecord),
    /// A recording.
    Reading(u64),
}

/// What comes back.
pub(crate) enum DeskAnswer {
    /// A case is ready.
    Begun(Arc<Patient>, Box<Loaded>),
    /// A session was computed.
    Gone(Box<Loaded>, Vec<Seen>, Vec<Act>),
    /// A debrief, and a good run for the stages with what can be seen in it.
    Debriefed(Box<Debrief>, Option<(Box<Loaded>, Vec<Seen>)>),
    /// A recording.
    Recorded(Box<Recording>),
}

type Answer = Result<DeskAnswer, String>;

/// One job at a time; a newer one makes the older one's answer void.
#[derive(Default)]
pub struct Desk {
    running: Option<mpsc::Receiver<Answer>>,
    ears: Arc<Ears>,
}

impl Desk {
    /// Something is being computed.
    pub fn is_busy(&self) -> bool {
        self.running.is_some()
    }

    pub(crate) fn start(&mut self, job: DeskJob, waker: Waker) {
        let (sender, receiver) = mpsc::channel();
        self.running = Some(receiver);
        let ears = self.ears.clone();
        thread::spawn(move || {
            let answer = compute(job, &ears, &waker).map_err(|error| error.to_string());
            // Nobody waits for a job that a newer one has made void.
            let _ = sender.send(answer);
            waker();
        });
    }

    pub(crate) fn stop(&mut self) {
        self.running = None;
    }

    pub(crate) fn take(&mut self) -> Option<Answer> {
        let answer = self.running.as_ref()?.try_recv();
        match answer {
            Ok(answer) => {
                self.running = None;
                Some(answer)
            }
            Err(mpsc::TryRecvError::Empty) => None,
            Err(mpsc::TryRecvError::Disconnected) => {
                self.running = None;
                Some(Err("the computation broke off".to_owned()))
            }
        }
    }
}

fn compute(job: DeskJob, ears: &Ears, waker: &Waker) -> Result<DeskAnswer, RehearsalError> {
    Ok(match job {
        DeskJob::Begin(case) => {
            let patient = Arc::new(Patient::with(&case)?);
            let (loaded, _) = session_shown(&patient, &[], ears, waker)?;
            DeskAnswer::Begun(patient, Box::new(loaded))
        }
        DeskJob::Go(patient, acts) => {
            let (loaded, seen) = session_shown(&patient, &acts, ears, waker)?;
            DeskAnswer::Gone(Box::new(loaded), seen, acts)
        }
        DeskJob::Debrief(patient, record) => {
            let debrief = debrief(&patient, &record)?;
            let good = match &debrief.good {
                Some(good) => {
                    let (loaded, seen) = session_shown(&patient, &good.acts, ears, waker)?;
                    Some((Box::new(loaded), seen))
                }
                None => None,
            };
            DeskAnswer::Debriefed(Box::new(debrief), good)
        }
        DeskJob::Reading(seed) => DeskAnswer::Recorded(Box::new(recording(seed)?)),
    })
}
