//! The other engine's run of what is shown, computed beside it, and how far the two are apart.

use std::{
    ops::ControlFlow,
    sync::{Arc, OnceLock},
    thread,
};

use lithodrome_rehearsal::{Apart, Compiled, apart_from, other_engine};

use crate::{work::progress::Progress, work::progress::Waker, work::stage_data::Loaded};

/// How the other engine sees the same case.
#[derive(Clone, Debug, PartialEq)]
pub enum Beside {
    /// Still computing, the share done.
    Computing(f32),
    /// How far it is from what is shown.
    Apart(Apart),
    /// It went wrong, in words.
    Failed(String),
}

/// Asks the other engine about whatever is shown; a newer case makes an older answer void.
pub struct OtherEngine {
    waker: Waker,
    asked: Option<Asked>,
}

struct Asked {
    about: Arc<Compiled>,
    progress: Arc<Progress>,
    answer: Arc<OnceLock<Result<Apart, String>>>,
}

impl OtherEngine {
    /// Nothing asked yet.
    pub fn new(waker: Waker) -> Self {
        Self { waker, asked: None }
    }

    /// Asks about what is shown, unless it has been asked about already.
    pub fn ask(&mut self, shown: &Arc<Loaded>) {
        let asked = self.asked.as_ref();
        if asked.is_some_and(|a| Arc::ptr_eq(&a.about, &shown.compiled)) {
            return;
        }
        self.stop();
        let progress = Progress::new(self.waker.clone());
        let answer = Arc::new(OnceLock::new());
        self.asked = Some(Asked {
            about: shown.compiled.clone(),
            progress: progress.clone(),
            answer: answer.clone(),
        });
        let shown = shown.clone();
        thread::spawn(move || {
            let engine = other_engine(shown.run.engine);
            let compiled = &shown.compiled;
            let apart = apart_from(compiled, &shown.run, engine, &mut |share| {
                if progress.tell(share) {
                    ControlFlow::Continue(())
                } else {
                    ControlFlow::Break(())
                }
            })
            .map_err(|error| error.to_string());
            let _ = answer.set(apart);
            progress.wake();
        });
    }

    /// Makes the question under way void.
    pub fn stop(&mut self) {
        if let Some(asked) = self.asked.take() {
            asked.progress.stop();
        }
    }

    /// What it says about a case; nothing if it was not asked about it.
    pub fn says(&self, about: &Arc<Compiled>) -> Option<Beside> {
        let asked = self
            .asked
            .as_ref()
            .filter(|a| Arc::ptr_eq(&a.about, about))?;
        Some(match asked.answer.get() {
            Some(Ok(apart)) => Beside::Apart(*apart),
            Some(Err(words)) => Beside::Failed(words.clone()),
            None => Beside::Computing(asked.progress.share()),
        })
    }
}

impl Drop for OtherEngine {
    fn drop(&mut self) {
        self.stop();
    }
}

#[cfg(test)]
mod tests {
    use std::time::{Duration, Instant};

    use super::*;
    use crate::{work::ears::Ears, work::load::Job, work::load::load, work::stage_data::Origin};

    #[test]
    fn the_other_engine_ends_the_shipped_case_alike() {
        let waker: Waker = Arc::new(|| {});
        let job = Job {
            origin: Origin::Shipped,
            draft: None,
        };
        let shown = Arc::new(load(&job, &Ears::default(), &waker, &|_| true).unwrap());
        let mut other = OtherEngine::new(waker);
        assert_eq!(other.says(&shown.compiled), None);
        other.ask(&shown);
        let patience = Instant::now();
        let apart = loop {
            match other.says(&shown.compiled).unwrap() {
                Beside::Apart(apart) => break apart,
                Beside::Failed(words) => panic!("{words}"),
                Beside::Computing(_) => assert!(patience.elapsed().as_secs() < 60),
            }
            thread::sleep(Duration::from_millis(20));
        };
        assert_eq!((apart.other_end, apart.bodies), (0, 8));
        // Clouds: first, median and last exit within 1 s.
        assert!(apart.exit_s.unwrap().abs() < 1.0, "{apart:?}");
        assert!(apart.words().starts_with("same end"));
        other.stop();
        assert_eq!(other.says(&shown.compiled), None);
    }
}
