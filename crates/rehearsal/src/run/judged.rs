//! A manoeuvre judged: the one word for the whole run and what it rests on.

use std::sync::Arc;

use lithodrome_debris::{CupulaFace, EventKind, Run};
use lithodrome_labyrinth::{Canal, Labyrinth, Region};

use super::follow_up::FollowUp;
use super::progress::Progress;
use crate::compile::Compiled;
use crate::error::RehearsalError;
use crate::measures::UprightDivides;
use crate::report::{Ends, Evidence, Exit, Judged, PieceEnd, began_fixed, nearest_miss};
use crate::scenario::{At, Scenario};

/// Judges a scenario that is already computed: `run` is its own run, by either engine.
pub(crate) fn judged(
    compiled: &Compiled,
    run: &Run,
    progress: Progress,
) -> Result<Judged, RehearsalError> {
    let follow_up = FollowUp::of(&compiled.scenario, &compiled.labyrinth, progress)?;
    let start = starts(&compiled.labyrinth, &follow_up);
    Ok(judge_follow_up(&follow_up, Some(run), &start))
}

/// Runs a manoeuvre with all that follows and judges it; `before_mm` are the places to compare with, those
/// of the start if left out.
pub fn judge_scenario(
    scenario: &Scenario,
    labyrinth: &Arc<Labyrinth>,
    before_mm: Option<&[Option<f64>]>,
    progress: Progress,
) -> Result<Judged, RehearsalError> {
    let follow_up = FollowUp::of(scenario, labyrinth, progress)?;
    let start;
    let before_mm = if let Some(before_mm) = before_mm {
        before_mm
    } else {
        start = starts(labyrinth, &follow_up);
        &start
    };
    Ok(judge_follow_up(&follow_up, None, before_mm))
}

/// Places on the course when the run begins, mm, `[body]`.
fn starts(labyrinth: &Labyrinth, follow_up: &FollowUp) -> Vec<Option<f64>> {
    let divides = UprightDivides::of(labyrinth);
    let fixed = began_fixed(&follow_up.compiled.model);
    Ends::at(labyrinth, &divides, &fixed, &follow_up.run, 0.0).course_mm
}

fn judge_follow_up(
    follow_up: &FollowUp,
    own_run: Option<&Run>,
    before_mm: &[Option<f64>],
) -> Judged {
    let compiled = &follow_up.compiled;
    let labyrinth = &*compiled.labyrinth;
    let divides = UprightDivides::of(labyrinth);
    let began_fixed = began_fixed(&compiled.model);
    let ends = |run: &Run, time_s| Ends::at(labyrinth, &divides, &began_fixed, run, time_s);
    let run = own_run.unwrap_or(&follow_up.run);
    let at_end = ends(run, follow_up.end_s);
    let after_sitting = ends(&follow_up.run, follow_up.sat_s);
    let control_tests = follow_up.control_tests();
    let evidence = Evidence {
        at_end: &at_end,
        after_sitting: &after_sitting,
        before_mm,
        seen_sitting: follow_up.seen_waiting(),
        seen_in_control: control_tests.iter().any(|t| t.seen),
        began_fixed: &began_fixed,
        began_short: &began_short(&compiled.scenario),
    };
    let verdict = evidence.verdict();
    let mut switched_to = at_end.canals(switched);
    switched_to.extend(after_sitting.canals(|end| switched(end).or(passing(end))));
    switched_to.sort();
    switched_to.dedup();
    let behind = |end: &&PieceEnd| matches!(end, PieceEnd::BehindCupula(_));
    Judged {
        verdict,
        out: evidence.out(),
        of: after_sitting.ends.len(),
        switched_to,
        passing_in: at_end.canals(passing),
        held: after_sitting.held.iter().filter(|held| **held).count(),
        behind_cupula: after_sitting.ends.iter().filter(behind).count(),
        places: places(follow_up, &after_sitting),
        end_s: follow_up.end_s,
        entered_other_s: entered_other_s(run, follow_up.end_s),
        exit: (evidence.out() == after_sitting.ends.len())
            .then(|| exit_of(follow_up))
            .flatten(),
        gained_mm: evidence.gained_mm(),
        nearest_miss: nearest_miss(labyrinth, &divides, run, follow_up.end_s),
        seen_sitting: evidence.seen_sitting,
        control_tests,
    }
}

fn switched(end: PieceEnd) -> Option<Canal> {
    match end {
        PieceEnd::Switched(canal) => Some(canal),
        _ => None,
    }
}

fn passing(end: PieceEnd) -> Option<Canal> {
    match end {
        PieceEnd::Passing(canal) => Some(canal),
        _ => None,
    }
}

/// Bodies that began in a short arm or on the utricular face of a cupula, `[body]`.
fn began_short(scenario: &Scenario) -> Vec<bool> {
    let short = |at: At| match at {
        At::ShortArm => true,
        At::OnCupula { side } => side == CupulaFace::Utricle,
        At::Arc { mm } => mm < 0.0,
        At::AmpullaryArm | At::NonAmpullaryArm | At::Utricle => false,
    };
    let entries = scenario.debris.iter();
    entries
        .flat_map(|d| std::iter::repeat_n(short(d.at), d.count as usize))
        .collect()
}

/// Where the bodies are after sitting, the most first.
fn places(follow_up: &FollowUp, ends: &Ends) -> Vec<(String, usize)> {
    let run = &follow_up.run;
    let after = run
        .time_s
        .partition_point(|&t| t <= follow_up.sat_s + 1e-9)
        .max(1);
    let mut places: Vec<(String, usize)> = Vec::new();
    for (track, end) in run.tracks.iter().zip(&ends.ends) {
        let region = track.place[after - 1].region.name();
        let name = match end {
            PieceEnd::OnCupula => format!("{} {} cupula", track.ear.name(), track.canal.name()),
            _ => format!("{} {region}", track.ear.name()),
        };
        match places.iter_mut().find(|(known, _)| *known == name) {
            Some((_, n)) => *n += 1,
            None => places.push((name, 1)),
        }
    }
    places.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    places
}

/// The last body's way out before the minute of sitting is over.
fn exit_of(follow_up: &FollowUp) -> Option<Exit> {
    let run = &follow_up.run;
    // When, and through which part.
    let last = |body: usize| -> Option<(f64, Region)> {
        let events = run.events.iter().rev();
        let mut entered = events.filter_map(|e| match e.kind {
            EventKind::Entered(region) if e.debris == body && e.time_s <= follow_up.sat_s => {
                Some((e.time_s, region))
            }
            _ => None,
        });
        // Back over the steps from one outer part to the next, to the one that led out.
        let mut left_s = None;
        for (time_s, region) in entered.by_ref() {
            if matches!(region, Region::Utricle | Region::ShortArm(_)) {
                left_s = Some(time_s);
            } else {
                return left_s.zip(Some(region));
            }
        }
        left_s.zip(run.tracks[body].place.first().map(|place| place.region))
    };
    let (body, (time_s, through)) = (0..run.tracks.len())
        .filter_map(|body| Some((body, last(body)?)))
        .max_by(|(_, a), (_, b)| a.0.total_cmp(&b.0))?;
    let motion = &follow_up.compiled.motion;
    let step = motion.step_at(time_s);
    let times = motion.times().get(step)?;
    Some(Exit {
        time_s,
        step,
        step_name: motion.steps[step].name.clone(),
        through: format!("{} {}", run.tracks[body].ear.name(), through.name()),
        spare_s: times.end_s - time_s,
    })
}

/// When a body first came into the duct of a canal where it did not begin, before the manoeuvre ended, s.
fn entered_other_s(run: &Run, end_s: f64) -> Option<f64> {
    let mut entered = run.events.iter().filter_map(|event| match event.kind {
        EventKind::Entered(Region::Duct(canal)) => {
            let is_other = run.tracks[event.debris].canal != canal;
            (is_other && event.time_s <= end_s).then_some(event.time_s)
        }
        _ => None,
    });
    entered.next()
}
