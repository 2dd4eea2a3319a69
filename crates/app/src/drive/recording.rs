//! What was driven, as the window shows a run and as a scenario that can be saved and run again.

use std::sync::Arc;

use lithodrome_chair::{AngleSample, ChairAngles, HeadMotion, Lever, MotionError, StepTimes};
use lithodrome_debris::Run;
use lithodrome_nystagmus::{Reflex, eyes_of, judge, sentence};
use lithodrome_rehearsal::{LimitBreach, Scenario, StepEntry, happenings, spare_hold_s};

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

/// The drive as a scenario: rests of 2 s or more make the steps, a move keeps its ends and its time, and a
/// place that the plan has a name for (`name_of`) keeps it.
pub(crate) fn as_scenario(
    plan: &Scenario,
    start: ChairAngles,
    angles: &[AngleSample],
    name_of: impl Fn(ChairAngles) -> Option<String>,
) -> Result<Arc<Scenario>, MotionError> {
    let motion = HeadMotion::from_samples(angles, start.headrest_flexion_rad, Lever::default())?;
    let tenth = |rad: f64| (rad.to_degrees() * 10.0).round() / 10.0;
    let hundredth = |s: f64| (s * 100.0).round() / 100.0;
    let mut scenario = plan.clone();
    scenario.title = driven_title(&plan.title);
    scenario.body = None;
    scenario.chair.yaw_deg = tenth(start.yaw_rad);
    scenario.chair.track_deg = tenth(start.track_rad);
    scenario.steps = motion
        .steps
        .iter()
        .enumerate()
        .map(|(i, step)| StepEntry {
            name: name_of(step.to).unwrap_or_else(|| driven_step(i)),
            yaw_deg: Some(tenth(step.to.yaw_rad)),
            track_deg: Some(tenth(step.to.track_rad)),
            move_s: hundredth(step.move_s),
            hold_s: hundredth(step.hold_s),
            ..StepEntry::default()
        })
        .collect();
    Ok(Arc::new(scenario))
}

#[cfg(test)]
mod tests {
    use lithodrome_rehearsal::{check, scenario_from_ron};

    use super::*;

    #[test]
    fn a_drive_becomes_steps_that_end_where_it_rested() {
        let text = r#"( format: 1, title: "t", steps: [] )"#;
        let plan = scenario_from_ron(text, std::path::Path::new("t.ron")).unwrap();
        // Rest 3 s, yaw to 45° in 2 s, rest 5 s, track to 90° in 3 s, rest 4 s; at 20 Hz.
        let track = |t: f64| ((t - 10.0) / 3.0).clamp(0.0, 1.0) * 90.0;
        let yaw = |t: f64| ((t - 3.0) / 2.0).clamp(0.0, 1.0) * 45.0;
        let angles: Vec<AngleSample> = (0..=340)
            .map(|i| f64::from(i) * 0.05)
            .map(|time_s| AngleSample {
                time_s,
                yaw_rad: yaw(time_s).to_radians(),
                track_rad: track(time_s).to_radians(),
            })
            .collect();
        let driven = as_scenario(&plan, ChairAngles::default(), &angles, |_| None).unwrap();
        check(&driven).unwrap();
        let ends: Vec<_> = driven
            .steps
            .iter()
            .map(|s| (s.yaw_deg.unwrap(), s.track_deg.unwrap()))
            .collect();
        assert_eq!(ends, [(0.0, 0.0), (45.0, 0.0), (45.0, 90.0)]);
        assert!((driven.duration_s() - 17.0).abs() < 0.02);
        assert!((driven.steps[1].move_s - 2.0).abs() < 0.11);
    }
}
