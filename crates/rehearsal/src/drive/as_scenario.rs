//! A drive as a scenario: the recorded motion itself, and steps that only read it.

use lithodrome_chair::{AngleSample, ChairAngles, MotionError, StepTimes};

use crate::scenario::{Scenario, StepEntry, recorded_entries};

/// A pause shorter than this within a move makes no step of its own, s.
const PAUSE_S: f64 = 0.3;

/// Name of a step that was driven, counted from 0.
pub fn driven_step(i: usize) -> String {
    format!("Driven {}", i + 1)
}

/// What the title of a drive ends in.
const AS_DRIVEN: &str = ", as driven";

/// Title of a drive of a plan with this title; a drive of a drive is not called so twice.
pub fn driven_title(plan: &str) -> String {
    let plan = plan.strip_suffix(AS_DRIVEN).unwrap_or(plan);
    format!("{plan}{AS_DRIVEN}")
}

/// The drive in its plan's case: the recorded motion, and a step for each move and the rest after it. `steps`
/// are in seconds since the first of the samples; a place that the plan has a name for (`name_of`) keeps it.
///
/// # Errors
/// Fewer than two samples.
pub fn drive_as_scenario(
    plan: &Scenario,
    samples: &[AngleSample],
    headrest_flexion_rad: f64,
    steps: &[StepTimes],
    name_of: impl Fn(ChairAngles) -> Option<String>,
) -> Result<Scenario, MotionError> {
    let (Some(first), Some(last), true) = (samples.first(), samples.last(), samples.len() > 1)
    else {
        return Err(MotionError::TooFewSamples {
            found: samples.len(),
        });
    };
    let tenth = |rad: f64| (rad.to_degrees() * 10.0).round() / 10.0;
    let hundredth = |s: f64| (s * 100.0).round() / 100.0;
    // A step ends in its rest, never in the sample after it, where the chair may have moved on.
    let within = |s: f64| (s * 100.0 + 1e-6).floor() / 100.0;
    let mut scenario = plan.clone();
    scenario.title = driven_title(&plan.title);
    scenario.body = None;
    scenario.chair.yaw_deg = tenth(first.yaw_rad);
    scenario.chair.track_deg = tenth(first.track_rad);
    // Rounded ends, so that rounding does not add up over many steps.
    let mut end_s = 0.0;
    let mut held_deg = [scenario.chair.yaw_deg, scenario.chair.track_deg];
    scenario.steps = read(steps, last.time_s - first.time_s)
        .iter()
        .enumerate()
        .map(|(i, step)| {
            let there = angles_at(samples, first.time_s + step.end_s, headrest_flexion_rad);
            let next_s = within(step.end_s);
            let hold_from_s = hundredth(step.hold_from_s).min(next_s);
            let move_s = hundredth(hold_from_s - end_s);
            // A sensor that trembles in a rest has not moved the chair.
            if move_s > 0.0 {
                held_deg = [there.yaw_rad, there.track_rad].map(tenth);
            }
            let entry = StepEntry {
                name: name_of(there).unwrap_or_else(|| driven_step(i)),
                yaw_deg: Some(held_deg[0]),
                track_deg: Some(held_deg[1]),
                move_s,
                hold_s: hundredth(next_s - hold_from_s),
                ..StepEntry::default()
            };
            end_s = next_s;
            entry
        })
        .collect();
    scenario.recorded = recorded_entries(samples);
    Ok(scenario)
}

/// The angles at a time, between two samples straight.
fn angles_at(samples: &[AngleSample], time_s: f64, headrest_flexion_rad: f64) -> ChairAngles {
    let after = samples
        .partition_point(|s| s.time_s < time_s)
        .min(samples.len() - 1);
    let (a, b) = (samples[after.saturating_sub(1)], samples[after]);
    let span_s = b.time_s - a.time_s;
    let share = if span_s > 0.0 {
        ((time_s - a.time_s) / span_s).clamp(0.0, 1.0)
    } else {
        1.0
    };
    let between = |from: f64, to: f64| from + (to - from) * share;
    ChairAngles {
        yaw_rad: between(a.yaw_rad, b.yaw_rad),
        track_rad: between(a.track_rad, b.track_rad),
        headrest_flexion_rad,
    }
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
    use std::path::Path;

    use super::*;
    use crate::check::check;
    use crate::compile::compile;
    use crate::limits::all_breaches;
    use crate::scenario::{Limits, scenario_from_ron};

    #[test]
    fn a_drive_of_a_drive_is_called_so_once() {
        assert_eq!(driven_title("Epley"), "Epley, as driven");
        assert_eq!(driven_title("Epley, as driven"), "Epley, as driven");
    }

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
        scenario_from_ron(text, Path::new("t.ron")).unwrap()
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
        let driven = drive_as_scenario(&plan(), &angles, 0.0, &steps, |_| None).unwrap();
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
        let driven = drive_as_scenario(&plan, &angles, 0.0, &steps, |_| None).unwrap();
        check(&driven).unwrap();
        assert_eq!(driven.steps.last().unwrap().track_deg, Some(-52.0));
        let compiled = compile(&driven, Path::new("")).unwrap();
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
