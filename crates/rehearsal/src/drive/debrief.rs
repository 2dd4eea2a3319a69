//! The debrief of a drive: step by step beside the plan, the worst moments, what debris did that it should not
//! have, what it would have taken.

use lithodrome_labyrinth::CanalId;
use serde::Serialize;

use super::beside::{StepBeside, beside};
use super::computed::Computed;
use super::needed::needed;
use crate::compile::Compiled;
use crate::error::RehearsalError;
use crate::limits::{all_breaches, worst_of_each};
use crate::report::{Happening, HappeningKind, Phrase, happenings, spare_hold_s};
use crate::run::Progress;

/// Off by less than this is not told among the worst, degrees (assumed; examiners are 14 to 50° off).
const TOLD_DEG: f64 = 10.0;
/// A hold shorter than planned by less than this is as planned, s (assumed).
const TOLD_S: f64 = 2.0;
/// Debris that had rested for less than this when a hold ended was still moving, s.
const STILL_MOVING_S: f64 = 0.5;
/// A turn is told if it was so many times as fast as planned, and at least [`FAST_DEG_S`] (both assumed).
const FASTER: f64 = 1.5;
const FAST_DEG_S: f64 = 60.0;
/// Worst moments that are told.
const MOST: usize = 5;

/// A drive beside its plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DriveDebrief {
    /// Step by step of the plan.
    pub steps: Vec<StepBeside>,
    /// The worst moments, the worst first.
    pub worst: Vec<Phrase>,
    /// What debris did that it does not do in the plan.
    pub astray: Vec<Phrase>,
    /// What a whole run of the plan comes to.
    pub plan_ends: String,
    /// What the drive came to.
    pub drive_ends: String,
    /// What it would have taken to end as the plan does.
    pub needed: Vec<Phrase>,
}

/// Computes the debrief of a drive, a scenario with its recorded motion. What it would have taken is found by
/// running the same drive with one thing changed; `progress` is told the share done.
pub fn drive_debrief(
    plan: Computed<'_>,
    drive: Computed<'_>,
    progress: Progress,
) -> Result<DriveDebrief, RehearsalError> {
    let labyrinth = &drive.compiled.labyrinth;
    let canal = treated(drive.compiled);
    let steps = beside(
        &plan.compiled.motion,
        &drive.compiled.motion,
        labyrinth,
        canal,
    );
    Ok(DriveDebrief {
        worst: worst(&steps, drive),
        astray: astray(plan, drive),
        plan_ends: plan.report.verdict_sentence.clone(),
        drive_ends: drive.report.verdict_sentence.clone(),
        needed: needed(plan, drive, &steps, progress)?,
        steps,
    })
}

/// The canal of the first debris, else the first that the sequence is meant for.
fn treated(compiled: &Compiled) -> Option<CanalId> {
    let scenario = &compiled.scenario;
    let debris = scenario.debris.first().map(|d| (d.ear, d.canal));
    let target = scenario.about.as_ref().and_then(|a| a.targets.first());
    debris
        .or(target.map(|t| (t.ear, t.canal)))
        .map(|(ear, canal)| CanalId { ear, canal })
}

fn at(time_s: f64, text: String) -> Phrase {
    Phrase {
        text,
        time_s: Some(time_s),
    }
}

fn worst(steps: &[StepBeside], drive: Computed<'_>) -> Vec<Phrase> {
    let motion = &drive.compiled.motion;
    let spare_s = spare_hold_s(drive.run, motion.times());
    // How bad, in degrees or what counts as much (assumed), and what is said.
    let mut all: Vec<(f64, Phrase)> = Vec::new();
    for step in steps {
        let name = &step.name;
        let (Some(driven), Some(at_s)) = (step.driven_step, step.at_s) else {
            let text = format!(
                "{name} was not driven: the nearest rest is {:.0}° off",
                step.off_deg
            );
            all.push((180.0 + step.off_deg, Phrase { text, time_s: None }));
            continue;
        };
        if step.off_deg >= TOLD_DEG {
            let plane = step
                .plane_words()
                .map_or_else(String::new, |w| format!(": {w}"));
            let text = format!("{name}: gravity {:.0}° off{plane}", step.off_deg);
            all.push((step.off_deg, at(at_s, text)));
        }
        let short_s = step.planned_hold_s - step.driven_hold_s;
        let moving = spare_s[driven - 1].is_some_and(|s| s < STILL_MOVING_S);
        if short_s >= TOLD_S && moving {
            let text = format!(
                "{name}: left {short_s:.0} s before the plan, with debris still on its way"
            );
            all.push((30.0 + short_s, at(at_s + step.driven_hold_s, text)));
        }
        if step.driven_deg_s > (FASTER * step.planned_deg_s).max(FAST_DEG_S) {
            let (driven, planned) = (step.driven_deg_s, step.planned_deg_s);
            let text =
                format!("{name}: turned at up to {driven:.0}°/s, planned are {planned:.0}°/s");
            all.push((10.0 * driven / planned.max(1.0), at(at_s, text)));
        }
    }
    for breach in worst_of_each(all_breaches(&drive.compiled.scenario, motion)) {
        let (name, words) = (&breach.step_name, breach.words());
        all.push((120.0, at(breach.time_s, format!("{name}: {words}"))));
    }
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    all.truncate(MOST);
    all.into_iter().map(|(_, phrase)| phrase).collect()
}

fn astray(plan: Computed<'_>, drive: Computed<'_>) -> Vec<Phrase> {
    let [planned, driven] = [plan, drive].map(|side| happenings(side.run));
    let count = |all: &[Happening], what: HappeningKind| -> usize {
        all.iter()
            .filter(|h| h.what == what)
            .map(|h| h.pieces)
            .sum()
    };
    let mut all = Vec::new();
    for happening in &driven {
        let what = happening.what;
        let in_plan = count(&planned, what);
        if what == HappeningKind::Left || count(&driven, what) <= in_plan {
            continue;
        }
        let n = happening.pieces;
        let words = match what {
            HappeningKind::TurnedBack => format!("{n} turned back toward the cupula"),
            HappeningKind::EnteredOther(canal) => format!("{n} entered the {} canal", canal.name()),
            HappeningKind::Left => continue,
        };
        let motion = &drive.compiled.motion;
        let step = motion.steps.get(motion.step_at(happening.time_s));
        let step = step.map_or("", |s| s.name.as_str());
        all.push(at(
            happening.time_s,
            format!("{words} in \"{step}\"; in the plan {in_plan} did"),
        ));
    }
    let [left_plan, left_drive] =
        [&planned, &driven].map(|happened| count(happened, HappeningKind::Left));
    if left_drive < left_plan {
        let of = drive.run.tracks.len();
        all.push(Phrase {
            text: format!("{left_drive} of {of} left the canal; in the plan {left_plan} do"),
            time_s: None,
        });
    }
    all
}

impl DriveDebrief {
    /// The debrief in lines.
    pub fn text(&self) -> String {
        let mut lines = Vec::new();
        for (i, step) in self.steps.iter().enumerate() {
            let plane = step.plane_words().filter(|_| step.off_deg >= TOLD_DEG);
            let plane = plane.map_or_else(String::new, |w| format!(" ({w})"));
            lines.push(format!("{} {}: {}{plane}", i + 1, step.name, step.words()));
        }
        let parts = [
            ("Worst moments", &self.worst),
            (
                "What debris did that it does not do in the plan",
                &self.astray,
            ),
            ("What it would have taken", &self.needed),
        ];
        for (head, phrases) in parts {
            if phrases.is_empty() {
                continue;
            }
            lines.push(head.to_owned());
            for phrase in phrases {
                let when = phrase
                    .time_s
                    .map_or_else(String::new, |t| format!("{t:.0} s: "));
                lines.push(format!("  {when}{}", phrase.text));
            }
        }
        lines.push(format!("Plan: {}", self.plan_ends));
        lines.push(format!("Driven: {}", self.drive_ends));
        lines.join("\n") + "\n"
    }
}
