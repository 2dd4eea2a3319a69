//! The choice among sequences, and of the times of their holds, by the engine on planning ears.

use std::sync::Arc;

use lithodrome_labyrinth::Labyrinth;

use super::beam::{Beamed, Candidate};
use super::file::Search;
use super::in_engine::{InEngine, cleared};
use super::limits::SearchLimits;
use super::plan::Plan;
use super::stage::{SearchProgress, SearchStage};
use crate::StudyError;
use crate::runs::Sequence;

/// Ears of the first round, in which all are tried.
const FIRST_EARS: u32 = 64;
/// How many of them go on into the second, with all planning ears.
const SECOND: usize = 12;
/// Sequences within this share of the best are as good; the least demanding of them is taken.
const AS_GOOD: f64 = 0.01;
/// Times that a hold is tried with, s.
const HOLDS_S: [f64; 8] = [10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0];
/// A chosen hold is at most this many times the longest choice of the search.
const LONGER: f64 = 1.5;

/// A sequence that was chosen.
#[derive(Clone, Debug)]
pub(super) struct Chosen {
    pub(super) plan: Plan,
    /// Share of the planning ears that it clears.
    pub(super) share: f64,
    /// How many sequences were run in the engine.
    pub(super) tried: usize,
}

/// The best of the candidates; `None` if there is none.
pub(super) fn best_in_engine(
    search: &Search,
    beamed: &Beamed,
    ears: &InEngine,
    progress: &SearchProgress,
) -> Result<Option<Chosen>, StudyError> {
    let candidates: Vec<&Candidate> = beamed.best.iter().flatten().collect();
    if candidates.is_empty() {
        return Ok(None);
    }
    let planning = search.file.ears.planning;
    let first = FIRST_EARS.min(planning);
    let all: Vec<&Plan> = candidates.iter().map(|c| &c.plan).collect();
    // Both rounds are one stage: every ear of the first and every one of the second.
    let (of, canals) = (first + planning, search.file.case.canals().len() as u32);
    let tell = |before: u32, done: u32| progress(SearchStage::Ranking, before + done / canals, of);
    let shares = shares(search, &all, ears, first, &|_, done, _| tell(0, done))?;
    let mut order: Vec<usize> = (0..all.len()).collect();
    order.sort_by(|a, b| shares[*b].total_cmp(&shares[*a]));
    order.truncate(SECOND);
    let few: Vec<&Plan> = order.iter().map(|i| all[*i]).collect();
    let shares = self::shares(search, &few, ears, planning, &|_, done, _| {
        tell(first, done)
    })?;
    let best = least_demanding(&few, &shares);
    Ok(best.map(|i| Chosen {
        plan: few[i].clone(),
        share: shares[i],
        tried: all.len(),
    }))
}

/// Share cleared of each plan in the first `n` planning ears, `[plan]`.
pub(super) fn shares(
    search: &Search,
    plans: &[&Plan],
    ears: &InEngine,
    n: u32,
    progress: &SearchProgress,
) -> Result<Vec<f64>, StudyError> {
    let sequences: Vec<Sequence> = plans.iter().map(|p| p.sequence(search, "tried")).collect();
    let rows = ears.aimed(&sequences, n, SearchStage::Ranking, progress)?;
    Ok(rows.iter().map(|rows| cleared(rows).share).collect())
}

/// Of those that are as good as the best the one with the fewest holds, then the least turning.
fn least_demanding(plans: &[&Plan], shares: &[f64]) -> Option<usize> {
    let most = shares.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let good = (0..plans.len()).filter(|i| shares[*i] >= most - AS_GOOD);
    good.min_by(|a, b| {
        let holds = |i: &usize| plans[*i].holds.len();
        let turning = |i: &usize| plans[*i].turning_deg();
        holds(a)
            .cmp(&holds(b))
            .then(turning(a).total_cmp(&turning(b)))
    })
}

/// The same sequence with times of its holds that are long enough, with some to spare: the shortest of which
/// the next longer one does as well.
pub(super) fn with_tuned_holds(
    search: &Search,
    mut chosen: Chosen,
    labyrinth: &Arc<Labyrinth>,
    ears: &InEngine,
    progress: &SearchProgress,
) -> Result<Chosen, StudyError> {
    let longest_s = LONGER * search.file.holds_s.iter().copied().fold(0.0, f64::max);
    let holds = chosen.plan.holds.len();
    let of = holds as u32;
    for (hold, done) in (0..holds).zip(0..) {
        let tell = |_, part: u32, of_part: u32| {
            // The parts of one hold are not told apart.
            let now = if part == of_part { done + 1 } else { done };
            progress(SearchStage::Holds, now, of)
        };
        let mut tried: Vec<f64> = HOLDS_S.into_iter().filter(|s| *s <= longest_s).collect();
        tried.push(chosen.plan.holds[hold].hold_s);
        tried.sort_by(f64::total_cmp);
        tried.dedup();
        let mut plans = Vec::new();
        for hold_s in tried {
            let plan = chosen.plan.with_hold_s(hold, hold_s);
            if SearchLimits::are_kept(&plan.scenario(search, "tried"), labyrinth)? {
                plans.push(plan);
            }
        }
        if plans.is_empty() {
            continue;
        }
        let refs: Vec<&Plan> = plans.iter().collect();
        let shares = shares(search, &refs, ears, search.file.ears.planning, &tell)?;
        let most = shares.iter().copied().fold(chosen.share, f64::max);
        let good = |i: usize| shares.get(i).is_some_and(|share| *share >= most - AS_GOOD);
        let spare = (0..plans.len()).find(|i| good(*i) && good(i + 1));
        if let Some(i) = spare.or_else(|| (0..plans.len()).find(|i| good(*i))) {
            chosen.share = shares[i];
            chosen.plan = plans.swap_remove(i);
        }
        chosen.tried += shares.len();
    }
    Ok(chosen)
}
