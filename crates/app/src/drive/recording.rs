//! What was driven, as the window shows a run and as a scenario that can be saved and run again.

use std::sync::Arc;

use lithodrome_chair::{AngleSample, ChairAngles, HeadMotion, Lever, MotionError, StepTimes};
use lithodrome_debris::Run;
use lithodrome_nystagmus::{Reflex, eyes_of, judge, sentence};
use lithodrome_rehearsal::{
    LimitBreach, Scenario, StepEntry, happenings, recorded_entries, spare_hold_s,
};

use crate::work::stage_data::{ChairColumns, Loaded};

/// The drive so far in the plan's case; `steps` are its moves and holds, `breaches` the limits passed.
pub(crate) fn as_loaded(
    plan: &Loaded,
    run: Run,
    angles: &[AngleSample],
    steps: &[StepTimes],
    breaches: Vec<LimitBreach>,
) -> Loaded {
    let eyes = eyes_of(&run, &Reflex::default());
    let finding = |step: &StepTimes| {
        let at = run.time_s.partition_point(|&t| t < step.hold_from_s);
        let down = run.down_in_head[at.min(run.down_in_head.len() - 1)];
        sentence(&judge(
            &eyes,
            step.hold_from_s,
            step.end_s,
            down,
            &plan.judging,
        ))
    };
    let chair = columns(&run.time_s, angles, plan.chair.headrest_flexion_rad);
    let mut scenario = plan.scenario.clone();
    scenario.steps = steps
        .iter()
        .enumerate()
        .map(|(i, step)| StepEntry {
            name: driven_step(i),
            move_s: step.hold_from_s - step.start_s,
            hold_s: step.end_s - step.hold_from_s,
            ..StepEntry::default()
        })
        .collect();
    let mut report = plan.report.clone();
    report.steps.clear();
    Loaded {
        hidden: false,
        scenario,
        compiled: plan.compiled.clone(),
        report,
        origin: plan.origin.clone(),
        chair,
        step_times: steps.to_vec(),
        findings: steps.iter().map(finding).collect(),
        warnings: Vec::new(),
        breaches,
        attached_until_s: plan.attached_until_s.clone(),
        judging: plan.judging,
        fastest_flow_pl_s: plan.fastest_flow_pl_s,
        happenings: happenings(&run),
        spare_hold_s: spare_hold_s(&run, steps),
        ears: plan.ears.clone(),
        reid_pitch_nose_up_rad: plan.reid_pitch_nose_up_rad,
        run,
        eyes,
    }
}

/// Name of a step that was driven, counted from 0.
pub(crate) fn driven_step(i: usize) -> String {
    format!("Driven {}", i + 1)
}

/// Title of a drive of a plan with this title.
pub(crate) fn driven_title(plan: &str) -> String {
    format!("{plan}, as driven")
}

/// The angles at the run's sample times.
fn columns(time_s: &[f64], angles: &[AngleSample], headrest_flexion_rad: f64) -> ChairColumns {
    let mut columns = ChairColumns {
        headrest_flexion_rad,
        ..ChairColumns::default()
    };
    let mut i = 0;
    for &t in time_s {
        while i + 1 < angles.len() && angles[i + 1].time_s <= t {
            i += 1;
        }
        let Some(a) = angles.get(i) else { continue };
        let b = angles.get(i + 1).unwrap_or(a);
        let span = b.time_s - a.time_s;
        let share = if span > 0.0 {
            ((t - a.time_s) / span).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let blend = |from: f64, to: f64| from + (to - from) * share;
        columns.yaw_rad.push(blend(a.yaw_rad, b.yaw_rad));
        columns.track_rad.push(blend(a.track_rad, b.track_rad));
    }
    columns
}

/// A pause shorter than this within a move makes no step of its own, s.
const PAUSE_S: f64 = 0.3;

/// The drive as a scenario: the recorded motion itself, and steps that read it, one for each move and the rest
/// after it. A place that the plan has a name for (`name_of`) keeps it.
pub(crate) fn as_scenario(
    plan: &Scenario,
    start: ChairAngles,
    angles: &[AngleSample],
    steps: &[StepTimes],
    name_of: impl Fn(ChairAngles) -> Option<String>,
) -> Result<Arc<Scenario>, MotionError> {
    let motion = HeadMotion::from_samples(angles, start.headrest_flexion_rad, Lever::default())?;
    let from_s = angles.first().map_or(0.0, |a| a.time_s);
    let tenth = |rad: f64| (rad.to_degrees() * 10.0).round() / 10.0;
    let hundredth = |s: f64| (s * 100.0).round() / 100.0;
    let mut scenario = plan.clone();
    scenario.title = driven_title(&plan.title);
    scenario.body = None;
    scenario.chair.yaw_deg = tenth(start.yaw_rad);
    scenario.chair.track_deg = tenth(start.track_rad);
    // Rounded ends, so that rounding does not add up over many steps.
    let mut end_s = 0.0;
    scenario.steps = read(steps, motion.duration_s())
        .iter()
        .enumerate()
        .map(|(i, step)| {
            let there = motion.angles_at(step.end_s - from_s);
            let (hold_from_s, next_s) = (hundredth(step.hold_from_s), hundredth(step.end_s));
            let entry = StepEntry {
                name: name_of(there).unwrap_or_else(|| driven_step(i)),
                yaw_deg: Some(tenth(there.yaw_rad)),
                track_deg: Some(tenth(there.track_rad)),
                move_s: hundredth(hold_from_s - end_s),
                hold_s: hundredth(next_s - hold_from_s),
                ..StepEntry::default()
            };
            end_s = next_s;
            entry
        })
        .collect();
    scenario.recorded = recorded_entries(angles);
    Ok(Arc::new(scenario))
}

/// Moves and rests up to the end of the record: a move with a short pause in it is one.
fn read(steps: &[StepTimes], end_s: f64) -> Vec<StepTimes> {
    let mut read: Vec<StepTimes> = Vec::new();
    for step in steps.iter().filter(|s| s.start_s < end_s) {
        let hold_from_s = step.hold_from_s.min(end_s);
        let mut step = StepTimes {
            start_s: step.start_s,
            hold_from_s,
            end_s: step.end_s.clamp(hold_from_s, end_s),
        };
        if let Some(before) = read.last()
            && before.end_s - before.hold_from_s < PAUSE_S
        {
            step.start_s = before.start_s;
            read.pop();
        }
        read.push(step);
    }
    if let Some(last) = read.last_mut() {
        last.end_s = end_s;
    }
    read
}

#[cfg(test)]
mod tests {
    use lithodrome_rehearsal::{Limits, all_breaches, check, compile, scenario_from_ron};

    use super::*;

    /// Angles at 60 Hz from functions of time, and the steps between the times given.
    fn drive(
        end_s: f64,
        yaw_deg: impl Fn(f64) -> f64,
        track_deg: impl Fn(f64) -> f64,
        steps: &[[f64; 3]],
    ) -> (Vec<AngleSample>, Vec<StepTimes>) {
        let angles = (0..=(end_s * 60.0) as usize)
            .map(|i| i as f64 / 60.0)
            .map(|time_s| AngleSample {
                time_s,
                yaw_rad: yaw_deg(time_s).to_radians(),
                track_rad: track_deg(time_s).to_radians(),
            })
            .collect();
        let times = |&[start_s, hold_from_s, end_s]: &[f64; 3]| StepTimes {
            start_s,
            hold_from_s,
            end_s,
        };
        (angles, steps.iter().map(times).collect())
    }

    fn plan() -> Scenario {
        let text = r#"( format: 1, title: "t", steps: [] )"#;
        scenario_from_ron(text, std::path::Path::new("t.ron")).unwrap()
    }

    /// From 0 to 1 between two times, smooth at both ends.
    fn smooth(t: f64, from_s: f64, to_s: f64) -> f64 {
        let share = ((t - from_s) / (to_s - from_s)).clamp(0.0, 1.0);
        0.5 - 0.5 * (std::f64::consts::PI * share).cos()
    }

    #[test]
    fn a_drive_becomes_steps_that_end_where_it_rested() {
        // Rest 3 s, yaw to 45° in 2 s, rest 1 s, track to 90° in 3 s, rest 4 s.
        let (angles, steps) = drive(
            13.0,
            |t| 45.0 * smooth(t, 3.0, 5.0),
            |t| 90.0 * smooth(t, 6.0, 9.0),
            &[[0.0, 0.0, 3.0], [3.0, 5.0, 6.0], [6.0, 9.0, 13.0]],
        );
        let driven =
            as_scenario(&plan(), ChairAngles::default(), &angles, &steps, |_| None).unwrap();
        check(&driven).unwrap();
        let ends: Vec<_> = driven
            .steps
            .iter()
            .map(|s| (s.yaw_deg.unwrap(), s.track_deg.unwrap()))
            .collect();
        assert_eq!(ends, [(0.0, 0.0), (45.0, 0.0), (45.0, 90.0)]);
        assert!((driven.duration_s() - 13.0).abs() < 0.02);
        assert!((driven.steps[1].move_s - 2.0).abs() < 0.02);
        assert!((driven.steps[1].hold_s - 1.0).abs() < 0.02);
    }

    #[test]
    fn a_turn_there_and_back_keeps_its_inversion_and_breaks_its_limit() {
        let there_and_back = |t: f64| {
            -198.0 * (smooth(t, 1.0, 5.0) - smooth(t, 5.0, 8.0)) - 52.0 * smooth(t, 8.0, 9.0)
        };
        let (angles, steps) = drive(
            14.0,
            |_| 0.0,
            there_and_back,
            &[[0.0, 0.0, 1.0], [1.0, 9.0, 14.0]],
        );
        let mut plan = plan();
        plan.limits = Some(Limits {
            head_down_deg: Some(30.0),
            ..Limits::default()
        });
        let driven = as_scenario(&plan, ChairAngles::default(), &angles, &steps, |_| None).unwrap();
        check(&driven).unwrap();
        assert_eq!(driven.steps.last().unwrap().track_deg, Some(-52.0));
        let compiled = compile(&driven, std::path::Path::new("")).unwrap();
        for sample in &angles {
            let there = compiled.motion.angles_at(sample.time_s);
            assert!((there.track_rad - sample.track_rad).abs() < 0.02f64.to_radians());
        }
        // 198° of track pass through 180°, the head straight down: 90° below the horizontal.
        let breaches = all_breaches(&driven, &compiled.motion);
        let found = breaches.first().map(|b| b.found).unwrap();
        assert!((found - 90.0).abs() < 8.0, "{found}");
    }
}
