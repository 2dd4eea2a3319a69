//! Ranges of a recorded motion, and whether the steps that read it are its own.

use super::range::{MAX_ANGLE_DEG, MAX_DURATION_S, angle, within};
use super::steps::{MAX_PEAK_SPEED_DEG_S, MAX_TURN_DEG_S2};
use crate::error::FieldError;
use crate::scenario::{Carrier, RecordedEntry, Scenario};

/// The most samples: two hours at 60 Hz.
const MAX_SAMPLES: usize = 432_000;
/// A step's end may be off the recording by this, degrees: steps are written to a tenth.
const NEAR_DEG: f64 = 0.5;
/// All steps together may be longer or shorter than the recording by this, s, for each step.
const NEAR_S: f64 = 0.05;

/// A recording is finite, goes forward, no faster than a planned turn, is the chair's, and its steps end where it rests.
pub(crate) fn check_recorded(scenario: &Scenario) -> Result<(), FieldError> {
    let samples = &scenario.recorded;
    if samples.is_empty() {
        return Ok(());
    }
    let n = samples.len();
    if !(2..=MAX_SAMPLES).contains(&n) {
        let allowed = format!("2 to {MAX_SAMPLES} samples");
        return Err(FieldError::new("recorded", &n, allowed));
    }
    if scenario.body.is_some_and(|body| body != Carrier::Chair) {
        let allowed = "a recorded motion of the two-axis chair only";
        return Err(FieldError::new("recorded", &"another body", allowed));
    }
    for (i, sample) in samples.iter().enumerate() {
        let field = |name: &str| format!("recorded[{}].{name}", i + 1);
        within(&field("at_s"), sample.at_s, 0.0, MAX_DURATION_S, "s")?;
        angle(&field("yaw_deg"), sample.yaw_deg, MAX_ANGLE_DEG)?;
        angle(&field("track_deg"), sample.track_deg, MAX_ANGLE_DEG)?;
    }
    for (i, pair) in samples.windows(2).enumerate() {
        let field = |name: &str| format!("recorded[{}].{name}", i + 2);
        let span_s = pair[1].at_s - pair[0].at_s;
        if span_s <= 0.0 {
            let allowed = format!(
                "later than {} s, the time of the sample before",
                pair[0].at_s
            );
            return Err(FieldError::new(field("at_s"), &pair[1].at_s, allowed));
        }
        for (name, turn) in [
            ("yaw_deg", pair[1].yaw_deg - pair[0].yaw_deg),
            ("track_deg", pair[1].track_deg - pair[0].track_deg),
        ] {
            if turn.abs() > span_s * MAX_PEAK_SPEED_DEG_S {
                let allowed = format!("a turn of at most {MAX_PEAK_SPEED_DEG_S} deg/s");
                let found = format!("{} deg/s", turn.abs() / span_s);
                return Err(FieldError::new(field(name), &found, allowed));
            }
        }
    }
    check_acceleration(samples)?;
    check_reading(scenario)
}

/// From sample to sample the speed changes no faster than in a turn that is planned.
fn check_acceleration(samples: &[RecordedEntry]) -> Result<(), FieldError> {
    for (i, three) in samples.windows(3).enumerate() {
        for (axis, name) in ["yaw_deg", "track_deg"].into_iter().enumerate() {
            let at = |k: usize| [three[k].yaw_deg, three[k].track_deg][axis];
            let speed = |k: usize| (at(k + 1) - at(k)) / (three[k + 1].at_s - three[k].at_s);
            let between_s = 0.5 * (three[2].at_s - three[0].at_s);
            let change = speed(1) - speed(0);
            let found = (change / between_s).abs();
            if found > MAX_TURN_DEG_S2 {
                let allowed = format!("a change of speed of at most {MAX_TURN_DEG_S2} deg/s²");
                let field = format!("recorded[{}].{name}", i + 2);
                return Err(FieldError::new(
                    field,
                    &format!("{found:.0} deg/s²"),
                    allowed,
                ));
            }
        }
    }
    Ok(())
}

/// The steps add up to the recording and end where it is then.
fn check_reading(scenario: &Scenario) -> Result<(), FieldError> {
    let samples = &scenario.recorded;
    let Some(last) = samples.last() else {
        return Ok(());
    };
    let (found_s, near_s) = (
        scenario.duration_s(),
        NEAR_S * scenario.steps.len().max(2) as f64,
    );
    if (found_s - (last.at_s - samples[0].at_s)).abs() > near_s {
        let allowed = format!("{} s in all, as recorded", last.at_s - samples[0].at_s);
        return Err(FieldError::new(
            "steps",
            &format!("{found_s} s in all"),
            allowed,
        ));
    }
    let mut end_s = samples[0].at_s;
    let times = scenario.steps.iter().zip(scenario.move_times_s());
    for (i, ((step, move_s), at)) in times.zip(scenario.angles_deg()).enumerate() {
        end_s += move_s + step.hold_s;
        let after = samples
            .partition_point(|s| s.at_s < end_s)
            .min(samples.len() - 1);
        // The end lies between two samples; a chair that starts there has moved on in the later one.
        let ends = [&samples[after.saturating_sub(1)], &samples[after]];
        let near = |name: &str, found: f64, there: [f64; 2]| {
            let (least, most) = (there[0].min(there[1]), there[0].max(there[1]));
            if (least - NEAR_DEG..=most + NEAR_DEG).contains(&found) {
                return Ok(());
            }
            let there = there[1];
            let allowed = format!("{there}, where the recorded motion is at the end of this step");
            Err(FieldError::new(
                format!("steps[{}].{name}", i + 1),
                &found,
                allowed,
            ))
        };
        near("yaw_deg", at[0], ends.map(|s| s.yaw_deg))?;
        near("track_deg", at[1], ends.map(|s| s.track_deg))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::scenario::scenario_from_ron;

    /// A turn of the yaw by half a cosine in so many seconds, recorded at 120 Hz, and a second of rest.
    fn turned(turn_deg: f64, move_s: f64) -> Scenario {
        let n = ((move_s + 1.0) * 120.0).round() as u32;
        let at = |i: u32| {
            let at_s = f64::from(i) / 120.0;
            let share = (at_s / move_s).min(1.0);
            RecordedEntry {
                at_s,
                yaw_deg: turn_deg * (0.5 - 0.5 * (std::f64::consts::PI * share).cos()),
                track_deg: 0.0,
            }
        };
        let text = format!(
            "(format: 1, title: \"Turned\", debris: [(ear: Right, canal: Posterior, at: AmpullaryArm, count: 1, \
             diameter_um: 50.0)], steps: [(name: \"Turn\", yaw_deg: {turn_deg}, track_deg: 0.0, move_s: {move_s}, \
             hold_s: 1.0)])"
        );
        let scenario = scenario_from_ron(&text, Path::new("t.ron")).unwrap();
        Scenario {
            recorded: (0..=n).map(at).collect(),
            ..scenario
        }
    }

    /// Half a cosine turns at most with π²/2 times way over time squared, 43 deg/s² for 90° in 3.2 s and 2,369 for 120° in
    /// half a second; a sample that is 1° off means 2 · 120² = 28,800 deg/s² more.
    #[test]
    fn a_jerk_in_a_recording_is_named_by_its_sample() {
        assert_eq!(check_recorded(&turned(90.0, 3.2)), Ok(()));
        assert_eq!(check_recorded(&turned(120.0, 0.5)), Ok(()));
        let mut jerk = turned(90.0, 3.2);
        jerk.recorded[100].yaw_deg += 1.0;
        let error = check_recorded(&jerk).unwrap_err();
        assert!(error.field.starts_with("recorded["), "{error:?}");
        assert!(error.allowed.contains("20000 deg/s²"), "{error:?}");
    }
}
