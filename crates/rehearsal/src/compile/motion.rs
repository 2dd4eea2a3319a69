//! From a scenario's plan to the head's motion.

use lithodrome_chair::{BodyLengths, HeadMotion, Lever, Move, MoveProfile, MovedStep, Step, Swing};
use lithodrome_labyrinth::{Ear, Vec3};

use crate::error::RehearsalError;
use crate::scenario::{
    MoveEntry, Plan, RecordedEntry, Scenario, Shortfall, SkullPlace, StepEntry, motor, move_time_s,
    plan,
};
use crate::units::rad;

/// The motion, and where a neck did not reach what was wanted. The scenario has been checked.
pub(crate) fn motion_of(
    scenario: &Scenario,
) -> Result<(HeadMotion, Vec<Shortfall>), RehearsalError> {
    let plan = plan(scenario);
    let turns_deg = plan.turns_deg();
    let lever = Lever::default();
    if let (Plan::Chair(ends), false) = (&plan, scenario.recorded.is_empty()) {
        let samples: Vec<_> = scenario
            .recorded
            .iter()
            .map(RecordedEntry::sample)
            .collect();
        let headrest_flexion_rad = ends[0].headrest_flexion_rad;
        let motion = HeadMotion::from_samples(&samples, headrest_flexion_rad, lever)?;
        let steps = scenario.steps.iter().zip(&ends[1..]).zip(&turns_deg);
        let reading = steps.map(|((entry, to), turn_deg)| Step {
            name: entry.name.clone(),
            to: *to,
            move_s: move_time_s(entry, *turn_deg),
            hold_s: entry.hold_s,
        });
        return Ok((motion.read_as(reading.collect()), Vec::new()));
    }
    Ok(match plan {
        Plan::Chair(ends) => {
            let steps = steps(scenario, &ends, &turns_deg);
            (HeadMotion::in_chair(ends[0], steps, lever)?, Vec::new())
        }
        Plan::Bed { ends, shortfalls } => {
            let steps = steps(scenario, &ends, &turns_deg);
            let motion = HeadMotion::on_bed(ends[0], steps, BodyLengths::default())?;
            (motion, shortfalls)
        }
        Plan::ThreeAxes(ends) => {
            let steps = steps(scenario, &ends, &turns_deg);
            (
                HeadMotion::in_three_axes(ends[0], steps, lever)?,
                Vec::new(),
            )
        }
    })
}

fn steps<P: Copy>(scenario: &Scenario, ends: &[P], turns_deg: &[f64]) -> Vec<MovedStep<P>> {
    let entries = scenario.steps.iter().zip(&ends[1..]).zip(turns_deg);
    entries
        .map(|((entry, to), turn_deg)| {
            let move_s = move_time_s(entry, *turn_deg);
            MovedStep {
                name: entry.name.clone(),
                to: *to,
                move_s,
                hold_s: entry.hold_s,
                movement: movement(entry, move_s, *turn_deg),
            }
        })
        .collect()
}

/// How an entry moves in a time that is known.
fn movement(entry: &StepEntry, move_s: f64, turn_deg: f64) -> Move {
    let swinging = |swing| Move {
        profile: MoveProfile::MinimumJerk,
        swing: Some(swing),
    };
    match entry.movement {
        None | Some(MoveEntry::Hand { .. }) => MoveProfile::MinimumJerk.into(),
        // A time that is too short has been refused before.
        Some(MoveEntry::Motor {
            speed_deg_s,
            acceleration_deg_s2,
        }) => motor(speed_deg_s, acceleration_deg_s2)
            .profile(rad(turn_deg), move_s)
            .unwrap_or_default()
            .into(),
        // Nothing thrown is nothing moved.
        Some(MoveEntry::Throw { .. }) if move_s == 0.0 => Move::default(),
        Some(MoveEntry::Throw { stop_s }) => MoveProfile::Throw {
            stop_share: stop_s / move_s,
        }
        .into(),
        Some(MoveEntry::Shaking {
            axis,
            amplitude_deg,
            frequency_hz,
        }) => swinging(Swing::Shaking {
            axis,
            amplitude_rad: rad(amplitude_deg),
            frequency_hz,
        }),
        Some(MoveEntry::Vibration {
            at,
            amplitude_mm,
            frequency_hz,
        }) => swinging(Swing::Vibration {
            along_in_head: match at {
                SkullPlace::Mastoid(Ear::Right) => -Vec3::y(),
                SkullPlace::Mastoid(Ear::Left) => Vec3::y(),
                SkullPlace::Forehead => Vec3::x(),
                SkullPlace::Crown => Vec3::z(),
            },
            amplitude_mm,
            frequency_hz,
        }),
    }
}
