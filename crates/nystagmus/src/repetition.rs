//! The same position again: whether its nystagmus is weaker the second time.

use lithodrome_labyrinth::Vec3;

use crate::Finding;

/// Positions within this angle are the same one, rad (assumed).
const SAME_POSITION_RAD: f64 = 0.035;

/// Below this share of the first peak a repeated nystagmus counts as fatigued (assumed).
const FATIGUED_SHARE: f64 = 0.8;

/// A hold in a position that was held before, with the same beat then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Repetition {
    /// The first hold in this position, counted from 0.
    pub of_step: usize,
    /// Peak now over peak then.
    pub peak_share: f64,
}

impl Repetition {
    /// Clearly weaker than the first time.
    pub fn is_fatigued(&self) -> bool {
        self.peak_share < FATIGUED_SHARE
    }
}

/// For every hold the first one before it with the same gravity in the head and a nystagmus, if the beat
/// is the same or nothing is seen any more; `down_in_head` are unit vectors, `[step]`.
pub fn repetitions(findings: &[Finding], down_in_head: &[Vec3]) -> Vec<Option<Repetition>> {
    let n = findings.len().min(down_in_head.len());
    let same = |a: usize, b: usize| {
        let apart = down_in_head[a].cross(&down_in_head[b]).norm();
        apart < SAME_POSITION_RAD && down_in_head[a].dot(&down_in_head[b]) > 0.0
    };
    (0..n)
        .map(|now| {
            let first = (0..now).find(|&then| same(then, now) && findings[then].is_seen())?;
            let (a, b) = (&findings[first], &findings[now]);
            if b.is_seen() && a.beat() != b.beat() {
                return None;
            }
            Some(Repetition {
                of_step: first,
                peak_share: b.peak_spv_rad_s / a.peak_spv_rad_s,
            })
        })
        .collect()
}
