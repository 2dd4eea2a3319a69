//! A whole search: tables, sequences, the engine on planning ears, times of holds, the check on other ears.

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_labyrinth::Labyrinth;
use lithodrome_rehearsal::{CAUTION, Scenario, compile_in, units::tidy};

use super::beam::{Beamed, Candidate};
use super::choose::{Chosen, best_in_engine, with_tuned_holds};
use super::course::traced;
use super::file::{DrawnFor, SEARCH_FORMAT, Search, SearchAim, SearchCase};
use super::in_engine::{InEngine, aim, cleared};
use super::limits::SearchLimits;
use super::plan::down_of;
use super::posture_words::posture_words;
use super::reasons::{HoldReason, left_at, reasons};
use super::report::{
    Beside, CanalShare, FoundHold, InUtricle, SearchCounts, SearchReport, Searched,
};
use super::stage::{SearchProgress, SearchStage};
use super::tables::SearchTables;
use crate::StudyError;
use crate::paired::{Strain, compare};
use crate::runs::{Row, pool};
use crate::statistics::Share;

/// Beginnings that are kept, hold by hold.
const WIDTH: usize = 240;
/// And where a coarse answer is wanted at once.
const COARSE_WIDTH: usize = 48;
/// Sequences of each number of holds that go into the engine.
const KEPT: usize = 12;

/// What the tables say of limits, without the engine.
#[derive(Clone, Debug, PartialEq)]
pub struct CoarseAnswer {
    /// Share of the tables' ears that the best sequence clears.
    pub share: f64,
    /// Yaw and track of its holds, degrees, `[hold]`.
    pub holds_deg: Vec<[f64; 2]>,
}

impl SearchTables {
    /// The best within other limits, at once; the headrest stays that of the tables. Nothing that the engine
    /// would not have to confirm.
    pub fn coarse(&self, limits: &SearchLimits) -> Option<CoarseAnswer> {
        let beamed = self.beam(limits, COARSE_WIDTH, 1, &mut |_| true);
        let best = best_of(&beamed)?;
        let holds = best.plan.holds.iter();
        Some(CoarseAnswer {
            share: best.share,
            holds_deg: holds.map(|hold| [hold.yaw_deg, hold.track_deg]).collect(),
        })
    }
}

/// Computes a search with tables that are made for it; `threads` is as many as there are processors if left out.
pub fn search(
    search: &Search,
    threads: Option<usize>,
    progress: &SearchProgress,
) -> Result<Searched, StudyError> {
    let tables = SearchTables::new(search, threads, progress)?;
    search_in(&tables, search, threads, progress)
}

/// The same with tables that are there already; grid, holds, headrest and mixture have to be those of the search.
pub fn search_in(
    tables: &SearchTables,
    search: &Search,
    threads: Option<usize>,
    progress: &SearchProgress,
) -> Result<Searched, StudyError> {
    let limits = &search.file.limits;
    let beamed = in_tables(tables, limits, threads, progress)?;
    let planning = InEngine::new(search, DrawnFor::Planning, threads)?;
    let Some(mut chosen) = best_in_engine(search, &beamed, &planning, progress)? else {
        let counts = counts(&beamed, None, None);
        return Ok(none(search, &beamed, counts));
    };
    let labyrinth = Arc::new(Labyrinth::build(&search.anatomy)?);
    chosen = with_tuned_holds(search, chosen, &labyrinth, &planning, progress)?;
    let scenario = chosen.plan.scenario(search, &title(search));
    let kept = SearchLimits::are_kept(&scenario, &labyrinth)?;
    if chosen.share < search.file.wanted || !kept {
        let sequence = [chosen.plan.sequence(search, "best")];
        let n = search.file.ears.planning;
        let rows = planning.aimed(&sequence, n, SearchStage::Reasons, progress)?;
        let counts = counts(&beamed, Some(&chosen), Some(&rows[0]));
        return Ok(none(search, &beamed, counts));
    }
    let strict = check(search, &chosen, threads, progress)?;
    let checked = strict.aimed(search.file.aim);
    let reasons = reasons(search, &chosen, &planning, threads, progress)?;
    let beside = checked
        .beside
        .as_ref()
        .map(|rows| beside(search, &checked.found, rows, &labyrinth))
        .transpose()?;
    let in_utricle = in_utricle(search, &strict);
    let share = cleared(&checked.found);
    let report = SearchReport {
        found: true,
        sequence: holds(search, &chosen, reasons),
        share: share.share,
        low: share.low,
        high: share.high,
        by_canal: by_canal(search, &checked.found),
        strain: Some(strain(&scenario, &labyrinth)?),
        in_utricle: Some(in_utricle),
        why: why(search, &beamed, &chosen, &share, beside.as_ref()),
        beside,
        ..empty(search, counts(&beamed, Some(&chosen), None))
    };
    let canal = search.file.case.canals()[0];
    let other = search.beside.as_ref().map(|s| &s.scenario);
    let courses = std::iter::once(&scenario).chain(other);
    let courses = courses.map(|scenario| traced(scenario, canal, &labyrinth));
    Ok(Searched {
        report,
        courses: courses.collect::<Result<_, StudyError>>()?,
        found: Some(scenario),
    })
}

fn title(search: &Search) -> String {
    search.file.title.clone()
}

/// The beam on threads of its own.
fn in_tables(
    tables: &SearchTables,
    limits: &SearchLimits,
    threads: Option<usize>,
    progress: &SearchProgress,
) -> Result<Beamed, StudyError> {
    let of = limits.most_holds;
    let mut given_up = None;
    let beamed = pool(threads)?.install(|| {
        tables.beam(limits, WIDTH, KEPT, &mut |step| {
            let go_on = progress(SearchStage::Sequences, step, of) == ControlFlow::Continue(());
            if !go_on {
                given_up = Some(step);
            }
            go_on
        })
    });
    match given_up {
        Some(done) if done < of => Err(StudyError::Cancelled { done, of }),
        _ => Ok(beamed),
    }
}

/// Rows of the check ears.
#[derive(Clone)]
struct Checked {
    found: Vec<Row>,
    beside: Option<Vec<Row>>,
}

impl Checked {
    /// By the aim of the search.
    fn aimed(&self, by: SearchAim) -> Checked {
        let mut checked = self.clone();
        aim(&mut checked.found, by);
        if let Some(rows) = &mut checked.beside {
            aim(rows, by);
        }
        checked
    }
}

fn check(
    search: &Search,
    chosen: &Chosen,
    threads: Option<usize>,
    progress: &SearchProgress,
) -> Result<Checked, StudyError> {
    let ears = InEngine::new(search, DrawnFor::Check, threads)?;
    let mut sequences = vec![chosen.plan.sequence(search, &search.file.title)];
    sequences.extend(search.beside.clone());
    let n = search.file.ears.check;
    let mut rows = ears
        .rows(&sequences, n, SearchStage::Check, progress)?
        .into_iter();
    Ok(Checked {
        found: rows.next().unwrap_or_default(),
        beside: rows.next(),
    })
}

fn beside(
    search: &Search,
    found: &[Row],
    rows: &[Row],
    labyrinth: &Arc<Labyrinth>,
) -> Result<Beside, StudyError> {
    let other = search.beside.as_ref().map(|s| &s.scenario);
    let Some(other) = other else {
        return Err(StudyError::field("beside", &"nothing", &"a sequence"));
    };
    let found: Vec<&Row> = found.iter().collect();
    let rows_of_other: Vec<&Row> = rows.iter().collect();
    let compared = compare((&other.title, &rows_of_other), (&search.file.title, &found));
    Ok(Beside {
        title: other.title.clone(),
        share: cleared(rows).share,
        difference: tidy(compared.cleared.difference),
        low: compared.cleared.low,
        high: compared.cleared.high,
        words: format!("{}, {}", search.file.aim.words(), compared.words),
        strain: strain(other, labyrinth)?,
    })
}

fn strain(scenario: &Scenario, labyrinth: &Arc<Labyrinth>) -> Result<Strain, StudyError> {
    let mut empty = scenario.clone();
    empty.debris.clear();
    Ok(Strain::of(
        &compile_in(&empty, Arc::clone(labyrinth))?.motion,
    ))
}

fn in_utricle(search: &Search, strict: &Checked) -> InUtricle {
    let share = cleared(&strict.found);
    let found: Vec<&Row> = strict.found.iter().collect();
    let beside = strict.beside.as_ref().zip(search.beside.as_ref());
    let words = beside.map(|(rows, other)| {
        let rows: Vec<&Row> = rows.iter().collect();
        compare((&other.name, &rows), (&search.file.title, &found)).words
    });
    InUtricle {
        share: share.share,
        low: share.low,
        high: share.high,
        beside: beside.map(|(rows, _)| cleared(rows).share),
        words,
    }
}

/// Shares canal by canal; the rows are so many of each one after the other.
fn by_canal(search: &Search, rows: &[Row]) -> Vec<CanalShare> {
    if !matches!(search.file.case, SearchCase::ThisEar(_)) {
        return Vec::new();
    }
    let n = search.file.ears.check as usize;
    let canals = search.file.case.canals().into_iter();
    canals
        .zip(rows.chunks(n))
        .map(|(canal, rows)| CanalShare::of(canal, &cleared(rows)))
        .collect()
}

fn holds(search: &Search, chosen: &Chosen, reasons: Vec<HoldReason>) -> Vec<FoundHold> {
    let limits = &search.file.limits;
    let moves_s = chosen.plan.moves_s(limits);
    let holds = chosen.plan.holds.iter().zip(moves_s).zip(reasons);
    holds
        .map(|((hold, move_s), reason)| {
            let down = down_of(hold, limits);
            FoundHold {
                name: posture_words(down),
                yaw_deg: hold.yaw_deg,
                track_deg: hold.track_deg,
                move_s,
                hold_s: hold.hold_s,
                down_in_head: [down.x, down.y, down.z].map(tidy),
                reason,
            }
        })
        .collect()
}

fn best_of(beamed: &Beamed) -> Option<&Candidate> {
    let all = beamed.best.iter().flatten();
    // The first of equals, which has the fewest holds.
    all.reduce(|best, next| if next.share > best.share { next } else { best })
}

fn counts(beamed: &Beamed, chosen: Option<&Chosen>, rows: Option<&[Row]>) -> SearchCounts {
    SearchCounts {
        postures: beamed.postures,
        in_tables: beamed.looked_at,
        in_engine: chosen.map_or(0, |chosen| chosen.tried),
        tables_share: best_of(beamed).map_or(0.0, |best| best.share),
        planning_share: chosen.map_or(0.0, |chosen| chosen.share),
        left_at: rows.and_then(left_at),
    }
}

/// A document without a sequence.
fn empty(search: &Search, counts: SearchCounts) -> SearchReport {
    SearchReport {
        format: SEARCH_FORMAT,
        version: env!("CARGO_PKG_VERSION"),
        caution: CAUTION,
        title: search.file.title.clone(),
        canal: search.file.case.name(),
        mixture: search.mixture.title.clone(),
        seed: search.file.seed,
        limits: search.file.limits,
        grid_deg: search.file.grid_deg,
        holds_s: search.file.holds_s.clone(),
        ears: search.file.ears,
        found: false,
        sequence: Vec::new(),
        aim: search.file.aim.words(),
        share: 0.0,
        low: 0.0,
        high: 0.0,
        by_canal: Vec::new(),
        strain: None,
        beside: None,
        in_utricle: None,
        why: String::new(),
        counts,
        seconds: None,
    }
}

fn none(search: &Search, beamed: &Beamed, counts: SearchCounts) -> Searched {
    let mut why = format!(
        "No sequence within these limits gets debris {} in {} of 100 ears: {}. {} were looked at in the line \
         graph, {} of them run in the engine.",
        search.file.aim.words(),
        percent(search.file.wanted),
        tried(search, beamed),
        counted(counts.in_tables),
        counts.in_engine
    );
    if counts.in_engine == 0 {
        why.push_str(" None of these postures can be reached.");
    } else {
        let best = format!(
            " The best succeeds in {} of 100 planning ears",
            percent(counts.planning_share)
        );
        why.push_str(&best);
        let left = counts.left_at.as_ref();
        why.push_str(&left.map_or_else(
            || ".".to_owned(),
            |left| {
                format!(
                    "; what does not leave is most often stopped in {}.",
                    left.words()
                )
            },
        ));
    }
    Searched {
        report: SearchReport {
            why,
            ..empty(search, counts)
        },
        found: None,
        courses: Vec::new(),
    }
}

fn why(
    search: &Search,
    beamed: &Beamed,
    chosen: &Chosen,
    share: &Share,
    beside: Option<&Beside>,
) -> String {
    let beside = beside.map_or_else(String::new, |beside| {
        format!(
            " Beside \"{}\" in the same ears: {}.",
            beside.title, beside.words
        )
    });
    format!(
        "The best of {} ({}), of which {} were run in the engine on planning ears, {} of each canal: debris is {} in \
         {} of 100 of them. Checked in {} ears on which nothing was chosen: {} of 100 [{}, {}].{beside}",
        counted(beamed.looked_at),
        tried(search, beamed),
        chosen.tried,
        search.file.ears.planning,
        search.file.aim.words(),
        percent(chosen.share),
        share.of,
        percent(share.share),
        percent(share.low),
        percent(share.high),
    )
}

/// Grid, holds and depth in words.
fn tried(search: &Search, beamed: &Beamed) -> String {
    let holds_s: Vec<String> = search
        .file
        .holds_s
        .iter()
        .map(|s| format!("{s:.0}"))
        .collect();
    format!(
        "{} postures of a {:.0}° grid with holds of {} s, {}",
        beamed.postures,
        search.file.grid_deg,
        holds_s.join(" or "),
        search.file.limits.words()
    )
}

fn counted(sequences: u64) -> String {
    match sequences {
        1 => "1 sequence".to_owned(),
        n => format!("{n} sequences"),
    }
}

fn percent(share: f64) -> String {
    format!("{:.0}", 100.0 * share)
}
