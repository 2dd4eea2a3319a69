//! Ranges of the steps of a scenario, and whether they fit the body that does them.

use std::f64::consts::TAU;

use super::range::{MAX_ANGLE_DEG, MAX_DURATION_S, angle, duration, within};
use crate::error::FieldError;
use crate::scenario::{
    Carrier, MAX_STEPS, MoveEntry, NeckLimits, Scenario, StartAngles, StepEntry, motor,
    move_time_s, plan,
};
use crate::units::{rad, tidy};
use lithodrome_chair::ShakeAxis;

/// A full turn in a second: three times what a chair is driven with by hand and twice a quick throw at the
/// bedside, 180° in 1.3 s (Obrist 2016, Front Neurol 7:150); beyond it the model is not held to anything.
pub(super) const MAX_MEAN_SPEED_DEG_S: f64 = 360.0;
/// The highest speed within such a turn: 15/8 of its mean by minimum jerk.
pub(super) const MAX_PEAK_SPEED_DEG_S: f64 = 1.875 * MAX_MEAN_SPEED_DEG_S;
/// Highest angular acceleration of a turn or of the stop of a throw, deg/s² (assumed: three times that of the quickest
/// head impulses, about 6,000, from memory). Without it a turn of a tenth of a degree could be done in no time.
pub(super) const MAX_TURN_DEG_S2: f64 = 20_000.0;
/// Peak acceleration of minimum jerk over way and time squared, Flash & Hogan 1985, J Neurosci 5:1688: 10/√3.
const JERK_PEAK: f64 = 5.773_502_7;
/// Highest speed of a motor, deg/s, and acceleration, deg/s² (assumed: the same turn within a tenth of a second).
const MAX_MOTOR_DEG_S: f64 = 360.0;
const MAX_MOTOR_DEG_S2: f64 = 3_600.0;
/// Nobody shakes a head faster, Hz (assumed: twice what a neck does by itself), nor with a higher peak than the
/// quickest turn that is allowed has in its middle, deg/s. Beyond it the rigid
/// engine, which looks 240 times a second, throws bodies through the wall.
const MAX_SHAKING_HZ: f64 = 10.0;
const MAX_SHAKING_DEG_S: f64 = MAX_PEAK_SPEED_DEG_S;
/// Highest acceleration of a vibrated head, m/s²: 100 g, twice a vibrator of 1 mm at 100 Hz (assumed).
const MAX_VIBRATION_M_S2: f64 = 981.0;
/// The most swings of one step: ten minutes of a vibrator at 100 Hz. More would take hours to compute.
const MAX_SWINGS: f64 = 60_000.0;

/// Every step within its ranges, with a time in which it can be done.
pub(crate) fn check_steps(scenario: &Scenario) -> Result<(), FieldError> {
    let n = scenario.steps.len();
    if n == 0 || n > MAX_STEPS {
        return Err(FieldError::new("steps", &n, format!("1 to {MAX_STEPS}")));
    }
    let body = scenario.body.unwrap_or_default();
    check_body(scenario, body)?;
    for (i, step) in scenario.steps.iter().enumerate() {
        let field = |name: &str| format!("steps[{}].{name}", i + 1);
        check_angles(step, &field)?;
        check_fit(step, body, &field)?;
        duration(&field("move_s"), step.move_s)?;
        duration(&field("hold_s"), step.hold_s)?;
        check_movement(step, body, &field)?;
    }
    let mut duration_s = 0.0;
    for (i, (step, turn)) in scenario
        .steps
        .iter()
        .zip(plan(scenario).turns_deg())
        .enumerate()
    {
        check_time(step, turn, &format!("steps[{}].move_s", i + 1))?;
        duration_s += move_time_s(step, turn) + step.hold_s;
    }
    if duration_s > 0.0 && duration_s <= MAX_DURATION_S {
        return Ok(());
    }
    Err(FieldError::new(
        "steps",
        &format!("{duration_s} s in all"),
        format!("more than 0 s and at most {MAX_DURATION_S} s (24 h)"),
    ))
}

fn check_body(scenario: &Scenario, body: Carrier) -> Result<(), FieldError> {
    let Carrier::Bedside { neck } = body else {
        return Ok(());
    };
    let NeckLimits {
        rotation_deg,
        extension_deg,
        flexion_deg,
        lateral_deg,
    } = neck;
    for (name, found) in [
        ("rotation_deg", rotation_deg),
        ("extension_deg", extension_deg),
        ("flexion_deg", flexion_deg),
        ("lateral_deg", lateral_deg),
    ] {
        within(&format!("body.neck.{name}"), found, 0.0, 90.0, "deg")?;
    }
    if scenario.chair != StartAngles::default() {
        let allowed = "no angles at the bedside, where the patient sits upright at first";
        return Err(FieldError::new("chair", &"angles of a chair", allowed));
    }
    Ok(())
}

fn check_angles(step: &StepEntry, field: &dyn Fn(&str) -> String) -> Result<(), FieldError> {
    let trunk = step.trunk.unwrap_or_default();
    let neck = step.neck.unwrap_or_default();
    let angles = [
        ("yaw_deg", step.yaw_deg, MAX_ANGLE_DEG),
        ("track_deg", step.track_deg, MAX_ANGLE_DEG),
        ("headrest_flexion_deg", step.headrest_flexion_deg, 90.0),
        ("trunk.recline_deg", trunk.recline_deg, 180.0),
        ("trunk.fall_left_deg", trunk.fall_left_deg, 180.0),
        ("trunk.roll_left_deg", trunk.roll_left_deg, MAX_ANGLE_DEG),
        ("neck.turn_left_deg", neck.turn_left_deg, 180.0),
        ("neck.extend_deg", neck.extend_deg, 180.0),
        ("neck.tilt_left_deg", neck.tilt_left_deg, 180.0),
    ];
    for (name, found, most) in angles {
        if let Some(found) = found {
            angle(&field(name), found, most)?;
        }
    }
    if let Some(down) = step.down_in_head {
        let length = down.iter().map(|x| x * x).sum::<f64>().sqrt();
        if !(length > 1e-3 && length < 1e3) {
            let found = format!("({}, {}, {})", down[0], down[1], down[2]);
            let allowed = "three numbers that point somewhere, such as (-1.0, 0.0, 0.0)";
            return Err(FieldError::new(field("down_in_head"), &found, allowed));
        }
    }
    Ok(())
}

/// Only what this body has may be written.
fn check_fit(
    step: &StepEntry,
    body: Carrier,
    field: &dyn Fn(&str) -> String,
) -> Result<(), FieldError> {
    let written = [
        ("yaw_deg", step.yaw_deg.is_some()),
        ("track_deg", step.track_deg.is_some()),
        ("headrest_flexion_deg", step.headrest_flexion_deg.is_some()),
        ("trunk", step.trunk.is_some()),
        ("neck", step.neck.is_some()),
    ];
    let at_bedside = body.is_bed();
    let has_down = step.down_in_head.is_some();
    for (name, _) in written.iter().filter(|w| w.1) {
        let of_bed = matches!(*name, "trunk" | "neck");
        if of_bed != at_bedside {
            let allowed = if of_bed {
                "trunk and neck with body: Bedside(..) only"
            } else {
                "trunk, neck or down_in_head at the bedside"
            };
            return Err(FieldError::new(field(name), &"a value", allowed));
        }
        if has_down && !matches!(*name, "trunk" | "headrest_flexion_deg") {
            let allowed = "either this or down_in_head";
            return Err(FieldError::new(field(name), &"both", allowed));
        }
    }
    if matches!(body, Carrier::ThreeAxes) && has_down && step.headrest_flexion_deg.is_some() {
        let allowed = "either this or down_in_head";
        return Err(FieldError::new(
            field("headrest_flexion_deg"),
            &"both",
            allowed,
        ));
    }
    Ok(())
}

fn check_movement(
    step: &StepEntry,
    body: Carrier,
    field: &dyn Fn(&str) -> String,
) -> Result<(), FieldError> {
    let swings = |frequency_hz: f64| {
        let found = frequency_hz * step.move_s;
        if found > 0.0 && found <= MAX_SWINGS {
            return Ok(());
        }
        let most_s = tidy(MAX_SWINGS / frequency_hz);
        let allowed = format!("more than 0 s and at most {most_s} s at {frequency_hz} Hz");
        Err(FieldError::new(field("move_s"), &step.move_s, allowed))
    };
    match step.movement {
        None | Some(MoveEntry::Hand { .. }) => Ok(()),
        Some(MoveEntry::Motor {
            speed_deg_s,
            acceleration_deg_s2,
        }) => {
            let name = field("move.speed_deg_s");
            within(&name, speed_deg_s, 0.1, MAX_MOTOR_DEG_S, "deg/s")?;
            let name = field("move.acceleration_deg_s2");
            within(&name, acceleration_deg_s2, 0.1, MAX_MOTOR_DEG_S2, "deg/s²")
        }
        Some(MoveEntry::Throw { stop_s }) => within(&field("move.stop_s"), stop_s, 0.01, 10.0, "s"),
        Some(MoveEntry::Shaking {
            axis,
            amplitude_deg,
            frequency_hz,
        }) => {
            within(
                &field("move.amplitude_deg"),
                amplitude_deg,
                0.0,
                90.0,
                "deg",
            )?;
            let name = field("move.frequency_hz");
            within(&name, frequency_hz, 0.05, MAX_SHAKING_HZ, "Hz")?;
            let most_deg = MAX_SHAKING_DEG_S / (TAU * frequency_hz);
            if amplitude_deg > most_deg {
                let allowed = format!("0 to {most_deg:.0} deg at {frequency_hz} Hz");
                let name = field("move.amplitude_deg");
                return Err(FieldError::new(name, &amplitude_deg, allowed));
            }
            if axis == ShakeAxis::Track && body != Carrier::Chair {
                let allowed = "Yaw or Nod, as only the two-axis chair has a track";
                return Err(FieldError::new(field("move.axis"), &"Track", allowed));
            }
            swings(frequency_hz)
        }
        Some(MoveEntry::Vibration {
            amplitude_mm,
            frequency_hz,
            ..
        }) => {
            within(&field("move.amplitude_mm"), amplitude_mm, 0.0, 10.0, "mm")?;
            within(&field("move.frequency_hz"), frequency_hz, 0.5, 500.0, "Hz")?;
            let most_mm = 1e3 * MAX_VIBRATION_M_S2 / (TAU * frequency_hz).powi(2);
            if amplitude_mm > most_mm {
                let allowed = format!("0 to {most_mm:.3} mm at {frequency_hz} Hz");
                let name = field("move.amplitude_mm");
                return Err(FieldError::new(name, &amplitude_mm, allowed));
            }
            swings(frequency_hz)
        }
    }
}

/// Whether a turn can be done in its time.
fn check_time(step: &StepEntry, turn: f64, field: &str) -> Result<(), FieldError> {
    let move_s = move_time_s(step, turn);
    let refuse = |allowed: String| Err(FieldError::new(field, &step.move_s, allowed));
    if turn > move_s * MAX_MEAN_SPEED_DEG_S {
        let least_s = turn / MAX_MEAN_SPEED_DEG_S;
        return refuse(if move_s > 0.0 {
            format!("{least_s:.2} s or more for a turn of {turn}°")
        } else {
            format!("more than 0 s for a turn of {turn}°")
        });
    }
    match step.movement {
        Some(MoveEntry::Motor {
            speed_deg_s,
            acceleration_deg_s2,
        }) => {
            let motor = motor(speed_deg_s, acceleration_deg_s2);
            if motor.profile(rad(turn), move_s).is_none() {
                let least_s = motor.least_time_s(rad(turn));
                return refuse(format!(
                    "{least_s:.3} s or more for a turn of {turn}° with at most {speed_deg_s} deg/s and \
                     {acceleration_deg_s2} deg/s², or 0 for the shortest time"
                ));
            }
        }
        Some(MoveEntry::Throw { stop_s }) if turn > 0.0 && stop_s >= move_s => {
            return refuse(format!(
                "more than {stop_s} s, the time of the throw's stop alone"
            ));
        }
        // Its speed rises evenly to twice the mean and falls evenly to nothing.
        Some(MoveEntry::Throw { stop_s }) if turn > 0.0 => {
            let shortest_s = stop_s.min(move_s - stop_s);
            if 2.0 * turn > MAX_TURN_DEG_S2 * move_s * shortest_s {
                return refuse(format!(
                    "a time in which neither start nor stop of the throw is above {MAX_TURN_DEG_S2} deg/s²"
                ));
            }
        }
        None | Some(MoveEntry::Hand { .. })
            if turn * JERK_PEAK > MAX_TURN_DEG_S2 * move_s * move_s =>
        {
            let least_s = (turn * JERK_PEAK / MAX_TURN_DEG_S2).sqrt();
            return refuse(format!("{least_s:.3} s or more for a turn of {turn}°"));
        }
        _ => {}
    }
    Ok(())
}
