//! What a drive would have taken to end as its plan does: the same drive with one thing changed, run again.

use super::beside::StepBeside;
use super::computed::Computed;
use crate::check::check;
use crate::error::RehearsalError;
use crate::report::{Phrase, Verdict};
use crate::run::{Progress, judge_scenario};
use crate::scenario::{Purpose, Scenario};

/// Changes that are tried at most.
const MOST_TRIALS: usize = 12;
/// A position nearer than this to the plan's is not tried, degrees (assumed: hands do no better).
const NEAR_DEG: f64 = 5.0;
/// A hold shorter than planned by less than this is not tried longer, s.
const NEAR_S: f64 = 1.0;

/// One change of a drive.
#[derive(Clone, Debug, PartialEq)]
enum Change {
    /// This step of the plan held as long as planned.
    Hold(usize),
    /// This step of the plan where it was planned.
    Place(usize),
    /// All holds as long as planned.
    AllHolds,
    /// All positions where they were planned.
    AllPlaces,
}

/// A word's worth: less is better.
const fn worth(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::Cleared => 0,
        Verdict::BehindTheCupula => 1,
        Verdict::MovedOn | Verdict::Depends => 2,
        Verdict::Passing | Verdict::Held => 3,
        Verdict::Unchanged => 4,
        Verdict::Switched => 5,
    }
}

/// Phrases that say what would have been enough.
pub(super) fn needed(
    plan: Computed<'_>,
    drive: Computed<'_>,
    steps: &[StepBeside],
    progress: Progress,
) -> Result<Vec<Phrase>, RehearsalError> {
    let (wanted, found) = (plan.report.verdict, drive.report.verdict);
    let is_test = |side: Computed<'_>| {
        let about = side.compiled.scenario.about.as_ref();
        about.is_some_and(|a| a.kind == Purpose::Test)
    };
    // A test is there to show something, not to clear.
    if is_test(plan) || drive.run.tracks.is_empty() {
        return Ok(Vec::new());
    }
    if worth(found) <= worth(wanted) {
        return Ok(vec![told(format!(
            "Nothing more: the drive ended \"{}\", the plan \"{}\"",
            found.name(),
            wanted.name()
        ))]);
    }
    let trial = Trial { plan, drive, steps };
    let changes = changes(steps);
    let n = changes.len().max(1) as f64;
    let mut all = Vec::new();
    for (i, change) in changes.iter().enumerate() {
        // The whole is tried only if no single change is enough.
        if matches!(change, Change::AllHolds | Change::AllPlaces) && !all.is_empty() {
            break;
        }
        let part = &mut |share: f64| progress((i as f64 + share) / n);
        if let Some(verdict) = trial.verdict(change, part)?
            && worth(verdict) <= worth(wanted)
        {
            all.push(told(format!("{}: {}", trial.words(change), verdict.name())));
        }
    }
    if all.is_empty() {
        all.push(told(
            "No single change would have been enough; the plan as it stands would".to_owned(),
        ));
    }
    Ok(all)
}

fn told(text: String) -> Phrase {
    Phrase { text, time_s: None }
}

/// Every single change that is worth trying, the larger ones after them.
fn changes(steps: &[StepBeside]) -> Vec<Change> {
    let driven = |k: &usize| steps[*k].driven_step.is_some();
    let short =
        |k: &usize| driven(k) && steps[*k].planned_hold_s - steps[*k].driven_hold_s > NEAR_S;
    let off = |k: &usize| driven(k) && steps[*k].off_deg > NEAR_DEG;
    let holds: Vec<usize> = (0..steps.len()).filter(short).collect();
    let places: Vec<usize> = (0..steps.len()).filter(off).collect();
    let mut all: Vec<Change> = holds.iter().map(|k| Change::Hold(*k)).collect();
    all.extend(places.iter().map(|k| Change::Place(*k)));
    all.truncate(MOST_TRIALS);
    if holds.len() > 1 {
        all.push(Change::AllHolds);
    }
    if places.len() > 1 {
        all.push(Change::AllPlaces);
    }
    all
}

struct Trial<'a> {
    plan: Computed<'a>,
    drive: Computed<'a>,
    steps: &'a [StepBeside],
}

impl Trial<'_> {
    fn verdict(
        &self,
        change: &Change,
        progress: Progress,
    ) -> Result<Option<Verdict>, RehearsalError> {
        let mut scenario = (*self.drive.compiled.scenario).clone();
        let all = 0..self.steps.len();
        match change {
            Change::Hold(k) => self.hold(&mut scenario, *k),
            Change::AllHolds => all.for_each(|k| self.hold(&mut scenario, k)),
            Change::Place(k) => self.place(&mut scenario, *k),
            Change::AllPlaces => all.for_each(|k| self.place(&mut scenario, k)),
        }
        if check(&scenario).is_err() {
            return Ok(None);
        }
        let labyrinth = &self.drive.compiled.labyrinth;
        let judged = judge_scenario(&scenario, labyrinth, None, progress)?;
        Ok(Some(judged.verdict))
    }

    /// The rest lasts as long as planned; what follows comes later, unchanged.
    fn hold(&self, scenario: &mut Scenario, k: usize) {
        let step = &self.steps[k];
        let Some(rest) = step.driven_step else { return };
        let more_s = step.planned_hold_s - step.driven_hold_s;
        if more_s <= 0.0 {
            return;
        }
        // By then earlier rests may have grown already.
        let before = scenario.steps[..rest].iter();
        let end_s: f64 = before.map(|s| s.move_s + s.hold_s).sum();
        let middle_s = end_s - 0.5 * scenario.steps[rest - 1].hold_s;
        scenario.steps[rest - 1].hold_s += more_s;
        let start_s = scenario.recorded.first().map_or(0.0, |s| s.at_s);
        for sample in &mut scenario.recorded {
            if sample.at_s - start_s > middle_s {
                sample.at_s += more_s;
            }
        }
    }

    /// The rest is where it was planned, reached and left in the driven times; the steps are then the motion.
    fn place(&self, scenario: &mut Scenario, k: usize) {
        let step = &self.steps[k];
        let Some(rest) = step.driven_step else { return };
        let planned_s = self.plan.compiled.motion.times()[k].hold_from_s;
        let planned = self.plan.compiled.motion.angles_at(planned_s);
        let there = [planned.yaw_rad, planned.track_rad].map(f64::to_degrees);
        let driven = &mut scenario.steps[rest - 1];
        let here = [driven.yaw_deg, driven.track_deg].map(|a| a.unwrap_or(0.0));
        let [yaw, track] = nearest_turns(there, here);
        (driven.yaw_deg, driven.track_deg) = (Some(yaw), Some(track));
        driven.move_s = driven.move_s.max(1.0);
        scenario.recorded.clear();
    }

    fn words(&self, change: &Change) -> String {
        match change {
            Change::Hold(k) => {
                let step = &self.steps[*k];
                format!(
                    "{} held for {:.0} s instead of {:.0} s",
                    step.name, step.planned_hold_s, step.driven_hold_s
                )
            }
            Change::Place(k) => {
                let step = &self.steps[*k];
                format!(
                    "{} where it was planned, {:.0}° away",
                    step.name, step.off_deg
                )
            }
            Change::AllHolds => "All holds as long as planned".to_owned(),
            Change::AllPlaces => "All positions where they were planned".to_owned(),
        }
    }
}

/// Yaw and track that hold the head as planned, nearest to where the chair is: whole turns and the twin position
/// (yaw + 180°, track negated) do so too.
fn nearest_turns(there: [f64; 2], here: [f64; 2]) -> [f64; 2] {
    let near = |angle: f64, here: f64| angle + 360.0 * ((here - angle) / 360.0).round();
    let [yaw, track] = there;
    let both = [[yaw, track], [yaw + 180.0, -track]]
        .map(|[yaw, track]| [near(yaw, here[0]), near(track, here[1])]);
    let way = |to: &[f64; 2]| (to[0] - here[0]).abs() + (to[1] - here[1]).abs();
    if way(&both[1]) < way(&both[0]) {
        both[1]
    } else {
        both[0]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_of_all_ways_to_hold_the_head_so() {
        let is = |there, here, want: [f64; 2]| {
            let found = nearest_turns(there, here);
            assert!(
                (found[0] - want[0]).abs() < 1e-9 && (found[1] - want[1]).abs() < 1e-9,
                "{found:?}"
            );
        };
        is([45.0, 120.0], [400.0, 110.0], [405.0, 120.0]);
        is([45.0, 120.0], [220.0, -118.0], [225.0, -120.0]);
        is([45.0, 120.0], [40.0, 100.0], [45.0, 120.0]);
    }
}
