//! Runs sequences in the ears of a population: on all cores, the same rows whatever their number.

use std::ops::{ControlFlow, Range};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

use lithodrome_chair::HeadMotion;
use lithodrome_debris::{Engine, Model, Place, final_states, simulate};
use lithodrome_labyrinth::{CanalId, Labyrinth, Region};
use lithodrome_rehearsal::{Compiled, Scenario, compile_in, sitting_afterwards};
use rayon::prelude::*;

use super::run_end::body_end;
use super::{Ended, Row, RunEnd, Sequence};
use crate::StudyError;
use crate::population::{CaseDraw, Population};

/// Ears that one thread takes at a time: enough to fill the lanes, few enough to tell progress often.
const BLOCK: u32 = 32;

/// What many runs are made of.
#[derive(Clone, Debug)]
pub struct Question {
    /// Cases.
    pub population: Population,
    /// The canal that has debris.
    pub canal: CanalId,
    /// What is tried, each in the same ears with the same errors.
    pub sequences: Vec<Sequence>,
    /// Whether runs may go four at a time through the lanes of the processor.
    pub in_lanes: bool,
}

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

/// The scenario of one case: the sequence as it is done, this debris, and the patient who sits afterwards.
pub fn scenario_of(
    question: &Question,
    sequence: &Sequence,
    draw: &CaseDraw,
    labyrinth: &Labyrinth,
) -> Scenario {
    let operator = &question.population.mixture.operator;
    let mut done = operator.done(&sequence.scenario, draw.point);
    let debris = match sequence.diameter_um {
        Some(diameter_um) => CaseDraw {
            diameter_um,
            ..draw.clone()
        }
        .debris(question.canal, labyrinth),
        None => draw.debris(question.canal, labyrinth),
    };
    done.debris = vec![debris];
    done.engine = None;
    sitting_afterwards(&done)
}

/// One run on its way: built, or why not.
type Prepared = Result<Compiled, String>;

fn block_rows(question: &Question, block: Range<u32>) -> Vec<Row> {
    let prepared: Vec<Prepared> = block
        .clone()
        .flat_map(|index| prepare(question, index))
        .collect();
    let ended = run(&prepared, question.in_lanes);
    let n = question.sequences.len() as u32;
    let rows = block.flat_map(|index| (0..n).map(move |sequence| (index, sequence)));
    rows.zip(prepared.iter().zip(ended))
        .map(|((index, sequence), (prepared, ended))| Row {
            index,
            sequence,
            end: match prepared {
                Ok(compiled) => ended.map(|bodies| end_of(question.canal, compiled, &bodies)),
                Err(reason) => Err(reason.clone()),
            },
        })
        .collect()
}

/// The runs of one ear, `[sequence]`.
fn prepare(question: &Question, index: u32) -> Vec<Prepared> {
    let draw = question.population.draw(index);
    let labyrinth = question.population.labyrinth(&draw);
    question
        .sequences
        .iter()
        .map(|sequence| {
            let labyrinth = labyrinth.as_ref().map_err(|e| format!("ear: {e}"))?;
            let scenario = scenario_of(question, sequence, &draw, labyrinth);
            compile_in(&scenario, Arc::clone(labyrinth)).map_err(|e| e.to_string())
        })
        .collect()
}

/// Where a body is in the end, and when it left its canal.
#[derive(Clone, Copy)]
struct BodyEnd {
    place: Place,
    exit_s: Option<f64>,
}

/// Ends of the runs that are built, `[run][body]`; one that fails does not keep the others from theirs.
fn run(prepared: &[Prepared], in_lanes: bool) -> Vec<Result<Vec<BodyEnd>, String>> {
    let built: Vec<(&Model, &HeadMotion)> = prepared
        .iter()
        .flatten()
        .map(|compiled| (&compiled.model, &compiled.motion))
        .collect();
    let together = if in_lanes { all_at_once(&built) } else { None };
    let ended = together.unwrap_or_else(|| built.iter().map(|run| alone(*run)).collect());
    let mut ended = ended.into_iter();
    prepared
        .iter()
        .map(|prepared| match prepared {
            Ok(_) => ended
                .next()
                .unwrap_or_else(|| Err("the run gave no end".to_owned())),
            Err(reason) => Err(reason.clone()),
        })
        .collect()
}

/// All in the lanes; `None` if one of them failed, which is then found one by one.
fn all_at_once(built: &[(&Model, &HeadMotion)]) -> Option<Vec<Result<Vec<BodyEnd>, String>>> {
    let all = final_states(built, &mut |_| ()).ok()?;
    let ends = all.into_iter().map(|ending| {
        let bodies = ending.bodies.iter().map(|body| BodyEnd {
            place: body.place,
            exit_s: body.exit_s,
        });
        Ok(bodies.collect())
    });
    Some(ends.collect())
}

fn alone((model, motion): (&Model, &HeadMotion)) -> Result<Vec<BodyEnd>, String> {
    let go_on = &mut |_| ControlFlow::Continue(());
    let run = simulate(model, motion, Engine::Settling, go_on).map_err(|e| e.to_string())?;
    let ends = run.tracks.iter().filter_map(|track| {
        Some(BodyEnd {
            place: *track.place.last()?,
            exit_s: track.exit_s,
        })
    });
    Ok(ends.collect())
}

/// The row's end: the word of the body that is worst off, and when the last one left.
fn end_of(canal: CanalId, compiled: &Compiled, bodies: &[BodyEnd]) -> Ended {
    let words = bodies
        .iter()
        .map(|body| (body_end(&compiled.labyrinth, canal, body.place), body.place));
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
    }
}
