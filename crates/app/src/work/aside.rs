//! A question about what is shown, answered on a thread of its own; a newer one makes an older answer void.

use std::{
    sync::{Arc, OnceLock},
    thread,
};

use lithodrome_rehearsal::Compiled;

use crate::{work::progress::Progress, work::progress::Waker};

/// What is known of an answer.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer<T> {
    /// Still computing, the share done.
    Computing(f32),
    /// This is it.
    Is(T),
    /// It went wrong, in words.
    Failed(String),
}

/// Asks about whatever is shown.
pub struct Aside<T> {
    waker: Waker,
    asked: Option<Asked<T>>,
}

struct Asked<T> {
    about: Arc<Compiled>,
    progress: Arc<Progress>,
    answer: Arc<OnceLock<Result<T, String>>>,
}

impl<T: Clone + Send + Sync + 'static> Aside<T> {
    /// Nothing asked yet.
    pub fn new(waker: Waker) -> Self {
        Self { waker, asked: None }
    }

    /// Asks about a case, unless it has been asked about already. `work` tells its progress and stops when
    /// that says so.
    pub(crate) fn ask(
        &mut self,
        about: &Arc<Compiled>,
        work: impl FnOnce(&Progress) -> Result<T, String> + Send + 'static,
    ) {
        let asked = self.asked.as_ref();
        if asked.is_some_and(|a| Arc::ptr_eq(&a.about, about)) {
            return;
        }
        self.stop();
        let progress = Progress::new(self.waker.clone());
        let answer = Arc::new(OnceLock::new());
        self.asked = Some(Asked {
            about: about.clone(),
            progress: progress.clone(),
            answer: answer.clone(),
        });
        thread::spawn(move || {
            let _ = answer.set(work(&progress));
            progress.wake();
        });
    }

    /// Makes the question under way void.
    pub fn stop(&mut self) {
        if let Some(asked) = self.asked.take() {
            asked.progress.stop();
        }
    }

    /// What is known about a case; nothing if it was not asked about.
    pub fn says(&self, about: &Arc<Compiled>) -> Option<Answer<T>> {
        let asked = self
            .asked
            .as_ref()
            .filter(|a| Arc::ptr_eq(&a.about, about))?;
        Some(match asked.answer.get() {
            Some(Ok(answer)) => Answer::Is(answer.clone()),
            Some(Err(words)) => Answer::Failed(words.clone()),
            None => Answer::Computing(asked.progress.share()),
        })
    }
}

impl<T> Drop for Aside<T> {
    fn drop(&mut self) {
        if let Some(asked) = self.asked.take() {
            asked.progress.stop();
        }
    }
}
