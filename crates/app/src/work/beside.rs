//! The other engine's run of what is shown, computed beside it, and how far the two are apart.

use std::{ops::ControlFlow, sync::Arc};

use lithodrome_rehearsal::{Apart, apart_from, other_engine};

use crate::{
    work::aside::{Answer, Aside},
    work::progress::Waker,
    work::stage_data::Loaded,
};

/// Asks the other engine about whatever is shown.
pub struct OtherEngine(Aside<Apart>);

impl OtherEngine {
    /// Nothing asked yet.
    pub fn new(waker: Waker) -> Self {
        Self(Aside::new(waker))
    }

    /// Asks about what is shown, unless it has been asked about already.
    pub fn ask(&mut self, shown: &Arc<Loaded>) {
        let of = shown.clone();
        self.0.ask(&shown.compiled, move |progress| {
            let engine = other_engine(of.run.engine);
            apart_from(&of.compiled, &of.run, engine, &mut |share| {
                if progress.tell(share) {
                    ControlFlow::Continue(())
                } else {
                    ControlFlow::Break(())
                }
            })
            .map_err(|error| error.to_string())
        });
    }

    /// Makes the question under way void.
    pub fn stop(&mut self) {
        self.0.stop();
    }

    /// How far it is from a case; nothing if it was not asked about it.
    pub fn says(&self, about: &Loaded) -> Option<Answer<Apart>> {
        self.0.says(&about.compiled)
    }
}

#[cfg(test)]
mod tests {
    use std::{
        thread,
        time::{Duration, Instant},
    };

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
        assert_eq!(other.says(&shown), None);
        other.ask(&shown);
        let patience = Instant::now();
        let apart = loop {
            match other.says(&shown).unwrap() {
                Answer::Is(apart) => break apart,
                Answer::Failed(words) => panic!("{words}"),
                Answer::Computing(_) => assert!(patience.elapsed().as_secs() < 60),
            }
            thread::sleep(Duration::from_millis(20));
        };
        assert_eq!((apart.other_end, apart.bodies), (0, 5));
        // Clouds: first, median and last exit within 1 s.
        assert!(apart.exit_s.unwrap().abs() < 1.0, "{apart:?}");
        assert!(apart.words().starts_with("same end"));
        other.stop();
        assert_eq!(other.says(&shown), None);
    }
}
