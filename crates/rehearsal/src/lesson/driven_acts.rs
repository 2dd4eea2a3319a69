//! A part of a session that was driven by hand: acts that keep the recorded motion, and the one recording of a
//! session that has such acts.

use super::act::{Act, Look, Part};
use crate::compile::ChairRecording;
use crate::error::RehearsalError;
use crate::scenario::{RecordedEntry, Scenario, StepEntry};

/// The steps of a drive as acts, each with the motion that belongs to it and named by where it led.
pub fn acts_of_drive(drive: &Scenario, part: Part, look: Look) -> Vec<Act> {
    let first_s = drive.recorded.first().map_or(0.0, |entry| entry.at_s);
    let mut start_s = first_s;
    let mut acts = Vec::with_capacity(drive.steps.len());
    for step in &drive.steps {
        let end_s = start_s + step.move_s + step.hold_s;
        let mine = drive.recorded.iter();
        let mine = mine.filter(|entry| (start_s..end_s).contains(&entry.at_s));
        let step = StepEntry {
            name: name_of(step),
            ..step.clone()
        };
        acts.push(Act {
            part,
            step,
            look,
            driven: mine
                .map(|entry| RecordedEntry {
                    at_s: entry.at_s - start_s,
                    ..*entry
                })
                .collect(),
        });
        start_s = end_s;
    }
    acts
}

/// "Wait", or where the chair was driven.
fn name_of(step: &StepEntry) -> String {
    if step.move_s <= 0.0 {
        return "Wait".to_owned();
    }
    let [yaw_deg, track_deg] = [step.yaw_deg, step.track_deg].map(Option::unwrap_or_default);
    format!("By hand to yaw {yaw_deg:.0}°, track {track_deg:.0}°")
}

/// The whole motion of a session, `history_s` of sitting first; empty if nobody drove in it, so that its steps say
/// it all. `scenario` says where the chair stands at first.
pub(super) fn recorded_motion(
    scenario: &Scenario,
    acts: &[Act],
    history_s: f64,
) -> Result<Vec<RecordedEntry>, RehearsalError> {
    if acts.iter().all(|act| act.driven.is_empty()) {
        return Ok(Vec::new());
    }
    let mut motion = ChairRecording::from_rest(scenario.chair);
    motion.rest(history_s);
    for act in acts {
        let end_s = motion.now_s + act.step.move_s + act.step.hold_s;
        if act.driven.is_empty() {
            motion.move_as(scenario, &act.step)?;
        } else {
            let from_s = motion.now_s;
            for entry in &act.driven {
                motion.push(from_s + entry.at_s, entry.yaw_deg, entry.track_deg);
            }
        }
        motion.rest(end_s - motion.now_s);
    }
    Ok(motion.entries)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::{HISTORY_S, HiddenCase, Patient};
    use crate::scenario::recorded_entries;
    use lithodrome_chair::{AngleSample, HeadMotion};

    /// A session of planned acts, one of which is replaced by its own motion as a drive would record it.
    #[test]
    fn a_driven_act_moves_as_the_planned_one_that_it_copies() {
        let patient = Patient::with(&HiddenCase::of_seed(3)).unwrap();
        let planned = [
            Act::to("Turn", 45.0, 0.0, 1.5, 2.0),
            Act::to("Lie back", 45.0, 120.0, 2.0, 20.0),
            Act::to("Upright", 45.0, 0.0, 2.0, 5.0),
            Act::wait("Wait", 10.0),
        ];
        let by_steps = patient.run(&planned).unwrap();
        let motion = &by_steps.compiled.motion;
        let from_s = motion.times()[2].start_s;
        let samples: Vec<AngleSample> = (0..=22 * 60)
            .map(|i| {
                let time_s = f64::from(i) / 60.0;
                let there = motion.angles_at(from_s + time_s);
                AngleSample {
                    time_s,
                    yaw_rad: there.yaw_rad,
                    track_rad: there.track_rad,
                }
            })
            .collect();
        let scenario = patient.scenario(&planned).unwrap();
        let drive = Scenario {
            steps: vec![planned[1].step.clone()],
            recorded: recorded_entries(&samples),
            ..scenario
        };
        let mut driven = planned.to_vec();
        driven[1] = acts_of_drive(&drive, Part::Test, Look::default()).remove(0);
        assert!(driven[1].driven.len() > 60);
        let by_hand = patient.run(&driven).unwrap();
        assert!(!by_hand.compiled.scenario.recorded.is_empty());
        let turned = |motion: &HeadMotion, time_s| motion.angles_at(time_s).track_rad;
        let end_s = HISTORY_S + 42.5;
        assert!((by_hand.run.duration_s - end_s).abs() < 0.01);
        for i in 0..450 {
            let time_s = HISTORY_S + f64::from(i) * 0.1;
            let apart = turned(motion, time_s) - turned(&by_hand.compiled.motion, time_s);
            assert!(apart.abs() < 1e-3, "{apart} rad at {time_s} s");
        }
        let seen = |run: &crate::SessionRun| run.seen[1].finding.is_seen();
        assert_eq!(seen(&by_steps), seen(&by_hand));
        // What is held longer than it was driven stays where it was.
        driven[1].step.hold_s += 60.0;
        let longer = patient.run(&driven).unwrap();
        assert!((longer.run.duration_s - end_s - 60.0).abs() < 0.01);
        let lies_rad = turned(&longer.compiled.motion, HISTORY_S + 70.0);
        assert!((lies_rad - 120f64.to_radians()).abs() < 1e-6);
    }
}
