//! Runs sequences in the ears of a population: on all cores, the same rows whatever their number.

use std::ops::{ControlFlow, Range};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

use lithodrome_chair::HeadMotion;
use lithodrome_debris::{Engine, EventKind, Model, Place, Run, final_states, simulate};
use lithodrome_labyrinth::{CanalId, Region};
use lithodrome_rehearsal::{
    Compiled, Scenario, UprightDivides, compile_in, nearest_miss, piece_end, sitting_afterwards,
};
use rayon::prelude::*;

use super::judged::{followed, judged_rows};
use super::question::{Built, Judging, Question, scenario_of};
use super::{Ended, Row, RunEnd};
use crate::StudyError;
use crate::population::CaseDraw;

/// Ears that one thread takes at a time: enough to fill the lanes, few enough to tell progress often.
const BLOCK: u32 = 32;

/// Told how many ears of how many are done; `Break` gives up.
pub type Progress<'a> = dyn Fn(u32, u32) -> ControlFlow<()> + Sync + 'a;

/// Runs every sequence in the ears of a range of indices: rows by ear, then by sequence.
///
/// `threads` is as many as there are processors if left out.
pub fn compute(
    question: &Question,
    ears: Range<u32>,
    threads: Option<usize>,
    progress: &Progress,
) -> Result<Vec<Row>, StudyError> {
    let pool = pool(threads)?;
    let of = ears.len() as u32;
    let done = AtomicU32::new(0);
    let given_up = AtomicBool::new(false);
    let blocks: Vec<Range<u32>> = ears
        .clone()
        .step_by(BLOCK as usize)
        .map(|from| from..(from + BLOCK).min(ears.end))
        .collect();
    let rows: Vec<Vec<Row>> = pool.install(|| {
        blocks
            .into_par_iter()
            .map(|block| {
                if given_up.load(Ordering::Relaxed) {
                    return Vec::new();
                }
                let size = block.len() as u32;
                let rows = block_rows(question, block);
                let now = done.fetch_add(size, Ordering::Relaxed) + size;
                if progress(now, of).is_break() {
                    given_up.store(true, Ordering::Relaxed);
                }
                rows
            })
            .collect()
    });
    let done = done.into_inner();
    if given_up.into_inner() && done < of {
        return Err(StudyError::Cancelled { done, of });
    }
    Ok(rows.into_iter().flatten().collect())
}

/// A pool of threads; as many as there are processors if left out.
pub(crate) fn pool(threads: Option<usize>) -> Result<rayon::ThreadPool, StudyError> {
    let threads = threads.unwrap_or(0);
    rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .map_err(|e| StudyError::Threads {
            found: threads,
            reason: e.to_string(),
        })
}

/// One run on its way: built, or why not.
type Prepared = Result<OnItsWay, String>;

/// A case that is built.
struct OnItsWay {
    /// As the operator does it.
    scenario: Scenario,
    /// With the minute of sitting.
    compiled: Compiled,
    /// Some of its bodies are fixed to a cupula: whether they let go is told by the run's events alone.
    on_cupula: bool,
}

fn block_rows(question: &Question, block: Range<u32>) -> Vec<Row> {
    let draws = block.clone().map(|index| question.population.draw(index));
    let built: Vec<(CaseDraw, Built)> = draws
        .map(|draw| {
            let labyrinth = question.population.labyrinth(&draw);
            (draw, labyrinth)
        })
        .collect();
    if question.judging == Judging::WithControl {
        let rows = built
            .iter()
            .flat_map(|(draw, labyrinth)| judged_rows(question, draw, labyrinth));
        return rows.collect();
    }
    let prepared: Vec<Prepared> = built
        .iter()
        .flat_map(|(draw, labyrinth)| prepare(question, draw, labyrinth))
        .collect();
    rows_of(question, block, &prepared)
}

/// The rows of one ear that is built already, `[sequence]`.
pub(crate) fn rows_of_ear(question: &Question, index: u32, labyrinth: &Built) -> Vec<Row> {
    let draw = question.population.draw(index);
    if question.judging == Judging::WithControl {
        return judged_rows(question, &draw, labyrinth);
    }
    let prepared = prepare(question, &draw, labyrinth);
    rows_of(question, index..index + 1, &prepared)
}

fn rows_of(question: &Question, ears: Range<u32>, prepared: &[Prepared]) -> Vec<Row> {
    let ended = run(prepared, question.in_lanes);
    let n = question.sequences.len() as u32;
    let rows = ears.flat_map(|index| (0..n).map(move |sequence| (index, sequence)));
    rows.zip(prepared.iter().zip(ended))
        .map(|((index, sequence), (prepared, ended))| Row {
            index,
            sequence,
            end: match prepared {
                Ok(on_its_way) => {
                    let end = ended.and_then(|bodies| told(question, on_its_way, &bodies));
                    end.and_then(|end| with_miss(question, index, on_its_way, end))
                }
                Err(reason) => Err(reason.clone()),
            },
        })
        .collect()
}

/// The runs of one case, `[sequence]`.
fn prepare(question: &Question, draw: &CaseDraw, labyrinth: &Built) -> Vec<Prepared> {
    question
        .sequences
        .iter()
        .map(|sequence| {
            let labyrinth = labyrinth.as_ref().map_err(|e| format!("ear: {e}"))?;
            let scenario = scenario_of(question, sequence, draw, labyrinth);
            let compiled = compile_in(&sitting_afterwards(&scenario), Arc::clone(labyrinth));
            Ok(OnItsWay {
                scenario,
                on_cupula: draw.is_on_cupula(),
                compiled: compiled.map_err(|e| e.to_string())?,
            })
        })
        .collect()
}

/// Where a body is in the end, and when it left its canal.
#[derive(Clone, Copy)]
struct BodyEnd {
    place: Place,
    exit_s: Option<f64>,
    fixed: bool,
}

/// Ends of the runs that are built, `[run][body]`; one that fails does not keep the others from theirs.
fn run(prepared: &[Prepared], in_lanes: bool) -> Vec<Result<Vec<BodyEnd>, String>> {
    let free = |prepared: &&Prepared| prepared.as_ref().is_ok_and(|p| !p.on_cupula);
    let built: Vec<(&Model, &HeadMotion)> = prepared
        .iter()
        .filter(free)
        .flatten()
        .map(|on_its_way| (&on_its_way.compiled.model, &on_its_way.compiled.motion))
        .collect();
    let mut together = if in_lanes {
        all_at_once(&built)
    } else {
        Vec::new()
    }
    .into_iter();
    prepared
        .iter()
        .map(|prepared| {
            let one = prepared.as_ref().map_err(Clone::clone)?;
            let from_lanes = if one.on_cupula { None } else { together.next() };
            from_lanes.unwrap_or_else(|| alone(&one.compiled))
        })
        .collect()
}

/// All in the lanes. One that fails leaves the others in theirs, so that how ears are shared out among threads
/// and parts changes none.
fn all_at_once(built: &[(&Model, &HeadMotion)]) -> Vec<Result<Vec<BodyEnd>, String>> {
    let all = final_states(built, &mut |_| ()).into_iter();
    let ends = all.map(|end| {
        let bodies = end.map_err(|e| e.to_string())?.bodies;
        let ends = bodies.iter().map(|body| BodyEnd {
            place: body.place,
            exit_s: body.exit_s,
            fixed: false,
        });
        Ok(ends.collect())
    });
    ends.collect()
}

fn recorded(compiled: &Compiled) -> Result<Run, String> {
    let go_on = &mut |_| ControlFlow::Continue(());
    let (model, motion) = (&compiled.model, &compiled.motion);
    simulate(model, motion, Engine::Settling, go_on).map_err(|e| e.to_string())
}

fn alone(compiled: &Compiled) -> Result<Vec<BodyEnd>, String> {
    let model = &compiled.model;
    let run = recorded(compiled)?;
    let mut fixed: Vec<bool> = model.bodies.iter().map(|b| b.fixed_to.is_some()).collect();
    for event in run.events.iter().filter(|e| e.kind == EventKind::Detached) {
        if let Some(body) = fixed.get_mut(event.debris) {
            *body = false;
        }
    }
    let ends = run.tracks.iter().zip(fixed).filter_map(|(track, fixed)| {
        Some(BodyEnd {
            place: *track.place.last()?,
            exit_s: track.exit_s,
            fixed,
        })
    });
    Ok(ends.collect())
}

/// The row's end, followed further where the question wants that.
fn told(
    question: &Question,
    OnItsWay {
        scenario, compiled, ..
    }: &OnItsWay,
    bodies: &[BodyEnd],
) -> Result<Ended, String> {
    let end = end_of(question.canal, compiled, bodies);
    let behind = end.word == RunEnd::BehindCupula;
    if !behind || question.judging != Judging::ControlIfBehind {
        return Ok(end);
    }
    let followed = followed(scenario, &compiled.labyrinth)?;
    Ok(Ended {
        word: followed.word,
        ..end
    })
}

/// The end with the nearest miss of a wrong canal, in the first ears of a question that asks for it.
fn with_miss(
    question: &Question,
    index: u32,
    OnItsWay { compiled, .. }: &OnItsWay,
    end: Ended,
) -> Result<Ended, String> {
    if index >= question.misses_of {
        return Ok(end);
    }
    let run = recorded(compiled)?;
    let labyrinth = &compiled.labyrinth;
    let divides = UprightDivides::of(labyrinth);
    let miss = nearest_miss(labyrinth, &divides, &run, run.duration_s);
    Ok(Ended {
        nearest_miss_mm: miss.as_ref().map(|m| m.mm),
        nearest_miss_s: miss.as_ref().map(|m| m.seconds),
        ..end
    })
}

/// The row's end: the word of the body that is worst off, and when the last one left.
fn end_of(canal: CanalId, compiled: &Compiled, bodies: &[BodyEnd]) -> Ended {
    let divides = UprightDivides::of(&compiled.labyrinth);
    let words = bodies.iter().map(|body| {
        let end = piece_end(&divides, canal, body.place, body.fixed);
        (RunEnd::after_sitting(end), body.place)
    });
    let worst = words.max_by_key(|(word, _)| *word);
    let exit_s = bodies
        .iter()
        .map(|body| body.exit_s)
        .try_fold(f64::NEG_INFINITY, |last, exit_s| Some(last.max(exit_s?)))
        .filter(|s| s.is_finite());
    let exit_step = exit_s.map(|s| compiled.motion.step_at(s));
    Ended {
        word: worst.map_or(RunEnd::Cleared, |(word, _)| word),
        region: worst.map_or(Region::Utricle, |(_, place)| place.region),
        arc_mm: worst.map_or(0.0, |(_, place)| place.arc_mm),
        exit_s,
        exit_step: exit_step.map(|step| step as u32 + 1),
        spare_s: exit_s.zip(exit_step).and_then(|(exit_s, step)| {
            let times = compiled.motion.times().get(step)?;
            Some(times.end_s - exit_s)
        }),
        nearest_miss_mm: None,
        nearest_miss_s: None,
    }
}
