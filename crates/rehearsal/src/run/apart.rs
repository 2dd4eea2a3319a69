//! How far the two engines are apart in one case.

use lithodrome_debris::{Engine, Run, Track, simulate};

use super::progress::Progress;
use crate::compile::Compiled;
use crate::error::RehearsalError;

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
            let end = |track: &Track| track.place.last().map(|p| p.region);
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

/// The engine that is not this one.
pub const fn other_engine(engine: Engine) -> Engine {
    match engine {
        Engine::Settling => Engine::Rigid,
        Engine::Rigid => Engine::Settling,
    }
}

/// Runs a case in `engine` and tells how far that is from a run of it.
pub fn apart_from(
    compiled: &Compiled,
    run: &Run,
    engine: Engine,
    progress: Progress,
) -> Result<Apart, RehearsalError> {
    let other = simulate(&compiled.model, &compiled.motion, engine, progress)?;
    Ok(Apart::of(run, &other))
}

#[cfg(test)]
mod tests {
    use super::*;

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
