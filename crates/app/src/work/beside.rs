//! The other engine's run of what is shown, computed beside it, and how far the two are apart.

use std::{
    ops::ControlFlow,
    sync::{Arc, OnceLock},
    thread,
};

use lithodrome_debris::{Engine, Run, simulate};
use lithodrome_rehearsal::Compiled;

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

/// How far two runs of one case are apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Apart {
    /// Bodies in another part of the ear at the end.
    pub other_end: usize,
    /// Of how many.
    pub bodies: usize,
    /// Root mean square distance of a body's places, µm; of two bodies and more they change places with
    /// each other, and this says little.
    pub rms_um: f64,
    /// Difference of the median time at which bodies left, s; `None` if none left in either.
    pub exit_s: Option<f64>,
}

impl Apart {
    /// Compares two runs of the same bodies.
    pub fn of(shown: &Run, other: &Run) -> Apart {
        let (mut squares, mut count) = (0.0, 0.0);
        let mut other_end = 0;
        for (a, b) in shown.tracks.iter().zip(&other.tracks) {
            for (p, q) in a.position_in_reid_mm.iter().zip(&b.position_in_reid_mm) {
                let way = |k: usize| f64::from(p[k] - q[k]);
                squares += (0..3).map(|k| way(k) * way(k)).sum::<f64>();
                count += 1.0;
            }
            let end = |track: &lithodrome_debris::Track| track.place.last().map(|p| p.region);
            other_end += usize::from(end(a) != end(b));
        }
        let median = |run: &Run| {
            let mut exits: Vec<f64> = run.tracks.iter().filter_map(|t| t.exit_s).collect();
            exits.sort_by(f64::total_cmp);
            exits.get(exits.len() / 2).copied()
        };
        Apart {
            other_end,
            bodies: shown.tracks.len(),
            rms_um: 1e3 * f64::sqrt(squares / f64::max(count, 1.0)),
            exit_s: median(shown).zip(median(other)).map(|(a, b)| b - a),
        }
    }

    /// In a few words.
    pub fn words(&self) -> String {
        let end = match (self.other_end, self.bodies) {
            (0, _) => "same end".to_owned(),
            (n, all) => format!("{n} of {all} end elsewhere"),
        };
        let exit = self.exit_s.map(|s| match s {
            s if s.abs() < 0.05 => ", out at the same time".to_owned(),
            s if s > 0.0 => format!(", out {s:.1} s later"),
            s => format!(", out {:.1} s sooner", -s),
        });
        let places = (self.bodies == 1).then(|| format!(", {:.1} µm apart", self.rms_um));
        end + &exit.unwrap_or_default() + &places.unwrap_or_default()
    }
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

    /// Which engine is the other one.
    pub const fn other(engine: Engine) -> Engine {
        match engine {
            Engine::Settling => Engine::Rigid,
            Engine::Rigid => Engine::Settling,
        }
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
            let engine = Self::other(shown.run.engine);
            let compiled = &shown.compiled;
            let run = simulate(&compiled.model, &compiled.motion, engine, &mut |share| {
                if progress.tell(share) {
                    ControlFlow::Continue(())
                } else {
                    ControlFlow::Break(())
                }
            });
            let apart = run
                .map(|run| Apart::of(&shown.run, &run))
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
    use crate::{work::load::Job, work::load::load, work::stage_data::Origin};

    #[test]
    fn the_other_engine_ends_the_shipped_case_alike() {
        let waker: Waker = Arc::new(|| {});
        let job = Job {
            origin: Origin::Shipped,
            draft: None,
        };
        let shown = Arc::new(load(&job, &waker, &|_| true).unwrap());
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

    #[test]
    fn words_say_ends_exits_and_places() {
        let apart = Apart {
            other_end: 0,
            bodies: 1,
            rms_um: 0.44,
            exit_s: Some(-0.31),
        };
        assert_eq!(apart.words(), "same end, out 0.3 s sooner, 0.4 µm apart");
        let apart = Apart {
            other_end: 2,
            bodies: 8,
            exit_s: None,
            ..apart
        };
        assert_eq!(apart.words(), "2 of 8 end elsewhere");
    }
}
