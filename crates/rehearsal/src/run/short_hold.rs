//! Holds that end too early, and by how much: the same run with that hold made longer tells it.

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_debris::{Engine, Run, simulate};
use lithodrome_labyrinth::Region;

use crate::compile::{ChairRecording, Compiled, build};
use crate::error::RehearsalError;
use crate::measures::CourseMarks;
use crate::report::{ShortHold, spare_hold_s};
use crate::scenario::Scenario;

/// Debris that has rested less than this before a hold ends counts as still moving, s.
pub const STILL_MOVING_S: f64 = 0.5;
/// Debris so near to where a longer hold would bring it has arrived, mm (assumed: a tenth of the way round an arc; what
/// is left is the slow creeping of a heap).
const NEAR_MM: f32 = 0.5;
/// A hold is made longer by as much to see when debris rests, s; beyond it is only told that it takes longer.
const LONGER_S: f64 = 120.0;

/// What is short of each hold, `[step]`. The last one may end as it likes: the patient sits on. Debris that rests in
/// time is not short of anything.
pub(crate) fn short_holds(
    compiled: &Compiled,
    run: &Run,
) -> Result<Vec<Option<ShortHold>>, RehearsalError> {
    let times = compiled.motion.times();
    let spare_s = spare_hold_s(run, times);
    let last = times.len().saturating_sub(1);
    (0..times.len())
        .map(|step| match spare_s[step] {
            Some(spare) if spare < STILL_MOVING_S && step < last => short_hold(compiled, run, step),
            _ => Ok(None),
        })
        .collect()
}

fn short_hold(
    compiled: &Compiled,
    run: &Run,
    step: usize,
) -> Result<Option<ShortHold>, RehearsalError> {
    let end_s = compiled.motion.times()[step].end_s;
    let before_apex = is_before_apex(compiled, run, end_s);
    let mut longer = (*compiled.scenario).clone();
    longer.engine = Some(Engine::Settling);
    longer.steps.truncate(step + 1);
    if let Some(hold) = longer.steps.last_mut() {
        hold.hold_s += LONGER_S;
    }
    rest_on(&mut longer, end_s);
    let longer = build(&longer, Arc::clone(&compiled.labyrinth))?;
    let go_on = &mut |_| ControlFlow::Continue(());
    let longer_run = simulate(&longer.model, &longer.motion, Engine::Settling, go_on)?;
    // The apex first: what has passed it falls on by itself.
    let passed_s = past_apex_s(compiled, &longer_run, &before_apex, end_s);
    if let Some(passed_s) = passed_s {
        return Ok(Some(ShortHold::new(step, Some(passed_s - end_s), true)));
    }
    let by_s = arrived_s(&longer_run, end_s) - end_s;
    if by_s < STILL_MOVING_S {
        return Ok(None);
    }
    // What is under way to the very end has not arrived then either.
    let by_s = Some(by_s).filter(|s| *s < LONGER_S - STILL_MOVING_S);
    Ok(Some(ShortHold::new(step, by_s, false)))
}

/// A recorded motion up to a time after its start, s, and then the chair rests on; nothing, if none was recorded.
fn rest_on(scenario: &mut Scenario, end_s: f64) {
    let mut recorded = std::mem::take(&mut scenario.recorded);
    let first_s = recorded.first().map_or(0.0, |entry| entry.at_s);
    recorded.retain(|entry| entry.at_s - first_s <= end_s);
    if let Some(mut motion) = ChairRecording::going_on(recorded, scenario.chair) {
        motion.rest(first_s + end_s + LONGER_S - motion.now_s);
        scenario.recorded = motion.entries;
    }
}

/// When the last body in a duct or a crus at a time has come near to where the run ends for it, or has left.
fn arrived_s(run: &Run, from_s: f64) -> f64 {
    let from = run.time_s.partition_point(|&t| t < from_s);
    let mut latest_s = from_s;
    for track in &run.tracks {
        let inside =
            |i: usize| matches!(track.place[i].region, Region::Duct(_) | Region::CommonCrus);
        let Some(end) = track.position_in_reid_mm.last() else {
            continue;
        };
        let far = |i: usize| {
            let at = track.position_in_reid_mm[i];
            let way = (0..3).map(|k| (at[k] - end[k]).powi(2)).sum::<f32>();
            way.sqrt() > NEAR_MM
        };
        let samples = from..run.time_s.len();
        if inside(from.min(run.time_s.len() - 1)) {
            let last = samples.rev().find(|&i| inside(i) && far(i));
            latest_s = latest_s.max(last.map_or(from_s, |i| run.time_s[i]));
        }
    }
    latest_s
}

/// Whether each body is in its own duct on the cupula's side of the apex at a time, `[body]`.
fn is_before_apex(compiled: &Compiled, run: &Run, time_s: f64) -> Vec<bool> {
    let sample = run.time_s.partition_point(|&t| t < time_s);
    run.tracks
        .iter()
        .map(|track| {
            let marks = CourseMarks::of(compiled.labyrinth.ear(track.ear), track.canal);
            let at = sample.min(track.place.len().saturating_sub(1));
            let place = track.place.get(at);
            place.is_some_and(|p| p.region == Region::Duct(track.canal) && p.arc_mm < marks.apex_mm)
        })
        .collect()
}

/// When the last body of those that were before the apex has passed it; `None` if some never does.
fn past_apex_s(compiled: &Compiled, run: &Run, before: &[bool], from_s: f64) -> Option<f64> {
    let mut latest = None;
    for (track, _) in run.tracks.iter().zip(before).filter(|(_, before)| **before) {
        let marks = CourseMarks::of(compiled.labyrinth.ear(track.ear), track.canal);
        let passed = track.place.iter().zip(&run.time_s).find(|(place, time_s)| {
            let inside = place.region == Region::Duct(track.canal);
            **time_s >= from_s && (!inside || place.arc_mm >= marks.apex_mm)
        });
        let time_s = *passed?.1;
        latest = Some(latest.map_or(time_s, |l: f64| l.max(time_s)));
    }
    latest
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use lithodrome_chair::AngleSample;

    use crate::scenario::{recorded_entries, scenario_from_ron};
    use crate::{Scenario, compile, rehearse};

    /// A right Dix-Hallpike held for so long, then on.
    fn held(hold_s: f64) -> Scenario {
        let text = format!(
            "(format: 1, title: \"Short\", debris: [(ear: Right, canal: Posterior, at: AmpullaryArm, count: 1, \
             diameter_um: 50.0)], chair: (yaw_deg: 45.0, track_deg: 0.0), steps: [\
             (name: \"Lie back\", track_deg: 120.0, move_s: 3.0, hold_s: {hold_s}), \
             (name: \"Wait\", move_s: 0.0, hold_s: 5.0)])"
        );
        scenario_from_ron(&text, Path::new("t.ron")).unwrap()
    }

    fn words_of(scenario: &Scenario) -> Option<(Option<f64>, String)> {
        let compiled = compile(scenario, Path::new("")).unwrap();
        let report = rehearse(&compiled).unwrap().report;
        let short = report.steps[0].short_hold.clone();
        short.map(|s| (s.by_s, s.words))
    }

    fn words(hold_s: f64) -> Option<(Option<f64>, String)> {
        words_of(&held(hold_s))
    }

    #[test]
    fn a_recorded_motion_is_as_short_as_its_steps() {
        let planned = held(2.0);
        let motion = compile(&planned, Path::new("")).unwrap().motion;
        let samples: Vec<AngleSample> = (0..=600)
            .map(|i| f64::from(i) / 60.0)
            .map(|time_s| AngleSample {
                time_s,
                yaw_rad: motion.angles_at(time_s).yaw_rad,
                track_rad: motion.angles_at(time_s).track_rad,
            })
            .collect();
        let driven = Scenario {
            recorded: recorded_entries(&samples),
            ..planned.clone()
        };
        let [by_steps, by_record] = [&planned, &driven].map(|s| words_of(s).unwrap().0.unwrap());
        assert!(
            (by_steps - by_record).abs() < 0.3,
            "{by_steps} and {by_record}"
        );
    }

    #[test]
    fn a_short_hold_is_told_in_seconds_and_a_long_one_is_not() {
        let (by_s, words_of_2) = words(2.0).expect("two seconds are short");
        assert!(words_of_2.starts_with("step 1 ends "), "{words_of_2}");
        let short_s = by_s.expect("it comes to rest within two minutes");
        assert!(
            words_of_2.contains(&format!("{short_s:.0} s short")),
            "{words_of_2}"
        );
        let (later_s, _) = words(1.0).expect("so is one");
        assert!(
            (later_s.unwrap() - short_s - 1.0).abs() < 0.2,
            "{later_s:?}, {short_s}"
        );
        assert_eq!(words(60.0), None);
    }
}
