//! What every hold of a sequence is for: where debris waits at its end, and what becomes of it without.

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_debris::{Engine, simulate};
use lithodrome_labyrinth::Region;
use lithodrome_rehearsal::compile_in;
use rayon::prelude::*;
use serde::Serialize;

use super::choose::Chosen;
use super::file::{Search, SearchAim};
use super::in_engine::{InEngine, cleared};
use super::places::{Waits, most_common};
use super::stage::{SearchProgress, SearchStage};
use crate::StudyError;
use crate::runs::{Question, Row, RunEnd, Sequence, pool, scenario_of};

/// Planning ears in which it is looked where debris waits; they are run one by one.
const EARS: u32 = 48;

/// What one hold is for.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HoldReason {
    /// Where debris of most ears is at its end; in no ear is there any left if it is `None`.
    pub waits: Option<Waits>,
    /// Share of planning ears in which the sequence succeeds without this hold.
    pub share_without: f64,
    /// Where most debris is where it does not succeed then.
    pub left_at: Option<Waits>,
    /// The same in words.
    pub words: String,
}

/// Reasons of all holds, `[hold]`.
pub(super) fn reasons(
    search: &Search,
    chosen: &Chosen,
    ears: &InEngine,
    threads: Option<usize>,
    progress: &SearchProgress,
) -> Result<Vec<HoldReason>, StudyError> {
    let holds = chosen.plan.holds.len();
    let whole = chosen.plan.sequence(search, "whole");
    let waits = waits(&ears.questions(&[whole]), holds, threads)?;
    let without: Vec<Sequence> = (0..holds)
        .map(|hold| chosen.plan.without(hold).sequence(search, "without"))
        .collect();
    let planning = search.file.ears.planning;
    let rows = ears.aimed(&without, planning, SearchStage::Reasons, progress)?;
    let reasons = rows.iter().zip(waits);
    Ok(reasons
        .map(|(rows, waits)| {
            let share_without = cleared(rows).share;
            let left_at = left_at(rows);
            HoldReason {
                words: words(
                    search.file.aim,
                    waits.as_ref(),
                    [chosen.share, share_without],
                    rows,
                    left_at.as_ref(),
                ),
                waits,
                share_without,
                left_at,
            }
        })
        .collect())
}

/// Where most debris of rows that are not cleared is.
pub(super) fn left_at(rows: &[Row]) -> Option<Waits> {
    let left = rows.iter().filter(|row| !row.is_cleared());
    let places = left.filter_map(|row| {
        let end = row.end.as_ref().ok()?;
        Some((end.region, end.arc_mm))
    });
    most_common(places, rows.len())
}

/// Where debris is at the end of each hold, `[hold]`.
fn waits(
    questions: &[Question],
    holds: usize,
    threads: Option<usize>,
) -> Result<Vec<Option<Waits>>, StudyError> {
    let cases: Vec<(&Question, u32)> = questions
        .iter()
        .flat_map(|question| (0..EARS).map(move |index| (question, index)))
        .collect();
    let of = cases.len();
    let ends: Vec<Vec<(Region, f64)>> = pool(threads)?.install(|| {
        cases
            .into_par_iter()
            .filter_map(|(question, index)| ends_of_holds(question, index, holds))
            .collect()
    });
    let of_hold = |hold: usize| {
        let places = ends.iter().filter_map(|ends| ends.get(hold).copied());
        most_common(places, of)
    };
    Ok((0..holds).map(of_hold).collect())
}

/// Where the first body of a case is at the end of each hold; `None` if the run fails.
fn ends_of_holds(question: &Question, index: u32, holds: usize) -> Option<Vec<(Region, f64)>> {
    let draw = question.population.draw(index);
    let labyrinth = question.population.labyrinth(&draw).ok()?;
    let scenario = scenario_of(question, question.sequences.first()?, &draw, &labyrinth);
    let compiled = compile_in(&scenario, Arc::clone(&labyrinth)).ok()?;
    let go_on = &mut |_| ControlFlow::Continue(());
    let run = simulate(&compiled.model, &compiled.motion, Engine::Settling, go_on).ok()?;
    let track = run.tracks.first()?;
    // The first step is sitting upright.
    let times = compiled.motion.times().iter().skip(1).take(holds);
    times
        .map(|times| {
            let after = run.time_s.partition_point(|t| *t <= times.end_s + 1e-9);
            let place = track.place.get(after.saturating_sub(1))?;
            Some((place.region, place.arc_mm))
        })
        .collect()
}

fn words(
    aim: SearchAim,
    waits: Option<&Waits>,
    [share, share_without]: [f64; 2],
    rows: &[Row],
    left_at: Option<&Waits>,
) -> String {
    let percent = |share: f64| format!("{:.0}", 100.0 * share);
    let waits = waits.map_or_else(String::new, |waits| {
        format!("At its end debris is most often in {}. ", waits.words())
    });
    let without = format!(
        "Without it debris is {} in {} of 100 planning ears instead of {}",
        aim.words(),
        percent(share_without),
        percent(share)
    );
    let switched = rows.iter().filter(|row| row.is(RunEnd::Switched)).count();
    let switched = if switched * 10 > rows.len() {
        let share = switched as f64 / rows.len() as f64;
        format!("; {} of 100 switch to another canal", percent(share))
    } else {
        String::new()
    };
    let left = left_at.map_or_else(String::new, |left| {
        format!("; what does not leave is most often in {}", left.words())
    });
    format!("{waits}{without}{switched}{left}.")
}
