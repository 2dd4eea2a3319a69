//! The debrief of the last drive, computed on a thread of its own while the drive itself is shown.

use std::{
    ops::ControlFlow,
    sync::{Arc, OnceLock},
    thread,
};

use lithodrome_rehearsal::{Compiled, Computed, DriveDebrief, drive_debrief};

use crate::work::{progress::Progress, progress::Waker, stage_data::Loaded};

/// How far the debrief is.
pub enum DebriefNow<'a> {
    /// Being computed, the share done.
    Computing(f32),
    /// Done.
    Told(&'a DriveDebrief),
    /// It went wrong, in words.
    Failed(&'a str),
}

/// A debrief under way or done.
pub struct Debriefing {
    about: Arc<Compiled>,
    plan: Arc<Loaded>,
    progress: Arc<Progress>,
    answer: Arc<OnceLock<Result<DriveDebrief, String>>>,
    /// It is to be seen.
    pub open: bool,
}

impl Debriefing {
    /// Begins to hold a drive against its plan.
    pub(crate) fn start(plan: Arc<Loaded>, drive: Arc<Loaded>, waker: Waker) -> Self {
        let progress = Progress::new(waker);
        let answer = Arc::new(OnceLock::new());
        let about = drive.compiled.clone();
        let against = plan.clone();
        let (of_thread, told) = (progress.clone(), answer.clone());
        thread::spawn(move || {
            let told_share = &mut |share: f64| {
                if of_thread.tell(share) {
                    ControlFlow::Continue(())
                } else {
                    ControlFlow::Break(())
                }
            };
            let debrief = drive_debrief(side(&plan), side(&drive), told_share);
            let _ = told.set(debrief.map_err(|error| error.to_string()));
            of_thread.wake();
        });
        Self {
            about,
            plan: against,
            progress,
            answer,
            open: true,
        }
    }

    /// The plan of the drive that is shown; nothing if that is another run.
    pub(crate) fn plan_of(&self, shown: &Loaded) -> Option<Arc<Loaded>> {
        Arc::ptr_eq(&self.about, &shown.compiled).then(|| self.plan.clone())
    }

    /// What it says about what is shown; nothing if that is another run.
    pub fn says(&self, shown: &Loaded) -> Option<DebriefNow<'_>> {
        if !Arc::ptr_eq(&self.about, &shown.compiled) {
            return None;
        }
        Some(match self.answer.get() {
            Some(Ok(debrief)) => DebriefNow::Told(debrief),
            Some(Err(words)) => DebriefNow::Failed(words),
            None => DebriefNow::Computing(self.progress.share()),
        })
    }
}

impl Drop for Debriefing {
    fn drop(&mut self) {
        self.progress.stop();
    }
}

fn side(loaded: &Loaded) -> Computed<'_> {
    Computed {
        compiled: &loaded.compiled,
        run: &loaded.run,
        report: &loaded.report,
    }
}
