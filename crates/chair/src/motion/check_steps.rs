//! Checks of steps: what they must be so that a motion can be made of them, and their times.

use crate::{
    ChairAngles, Lever, MotionError, MoveProfile, MovedStep, ShakeAxis, Step, StepTimes, Swing,
};

pub(crate) fn times_of(steps: &[Step]) -> Vec<StepTimes> {
    let mut start_s = 0.0;
    let mut times = Vec::with_capacity(steps.len());
    for step in steps {
        let hold_from_s = start_s + step.move_s;
        let end_s = hold_from_s + step.hold_s;
        times.push(StepTimes {
            start_s,
            hold_from_s,
            end_s,
        });
        start_s = end_s;
    }
    times
}

pub(crate) fn finite(place: &str, found: f64) -> Result<(), MotionError> {
    if found.is_finite() {
        Ok(())
    } else {
        Err(MotionError::NotFinite {
            place: place.to_owned(),
            found,
        })
    }
}

pub(crate) fn check_lever(lever: Lever) -> Result<(), MotionError> {
    finite(
        "height of the head above the track axis",
        lever.head_above_track_axis_mm,
    )
}

fn name_of<P>(i: usize, step: &MovedStep<P>) -> String {
    format!("step {} ({})", i + 1, step.name)
}

/// Angles of a chair and what is shaken in it.
pub(crate) fn check_chair(
    start: ChairAngles,
    steps: &[MovedStep<ChairAngles>],
) -> Result<(), MotionError> {
    finite("start: yaw", start.yaw_rad)?;
    finite("start: track", start.track_rad)?;
    finite("headrest flexion", start.headrest_flexion_rad)?;
    for (i, step) in steps.iter().enumerate() {
        let name = name_of(i, step);
        finite(&format!("{name}: yaw"), step.to.yaw_rad)?;
        finite(&format!("{name}: track"), step.to.track_rad)?;
        finite(
            &format!("{name}: headrest flexion"),
            step.to.headrest_flexion_rad,
        )?;
    }
    check_swings(steps, true)
}

/// Frequencies and sizes of what swings; only a chair has a track.
pub(crate) fn check_swings<P>(steps: &[MovedStep<P>], has_track: bool) -> Result<(), MotionError> {
    for (i, step) in steps.iter().enumerate() {
        let wrong = |what: &str, found: String, allowed| MotionError::Swing {
            place: format!("{}: {what}", name_of(i, step)),
            found,
            allowed,
        };
        let (size, frequency_hz) = match step.movement.swing {
            None => continue,
            Some(Swing::Shaking {
                axis,
                amplitude_rad,
                frequency_hz,
            }) => {
                if axis == ShakeAxis::Track && !has_track {
                    let allowed = "Yaw or Nod: only the two-axis chair has a track";
                    return Err(wrong("shaken axis", "Track".to_owned(), allowed));
                }
                (amplitude_rad, frequency_hz)
            }
            Some(Swing::Vibration {
                along_in_head,
                amplitude_mm,
                frequency_hz,
            }) => {
                let length = along_in_head.norm();
                if !(length > 0.0 && length.is_finite()) {
                    let allowed = "a finite direction that is not 0";
                    return Err(wrong(
                        "vibrated along",
                        format!("{along_in_head:?}"),
                        allowed,
                    ));
                }
                (amplitude_mm, frequency_hz)
            }
        };
        if !(frequency_hz > 0.0 && frequency_hz.is_finite()) {
            let allowed = "more than 0 Hz";
            return Err(wrong("frequency", frequency_hz.to_string(), allowed));
        }
        if !(size >= 0.0 && size.is_finite()) {
            return Err(wrong("amplitude", size.to_string(), "0 or more"));
        }
        if step.move_s <= 0.0 {
            let allowed = "more than 0 s for something that swings";
            return Err(wrong("move time", step.move_s.to_string(), allowed));
        }
    }
    Ok(())
}

/// Times and shapes of the moves; `turns_rad` is the largest turn of one axis in each.
pub(crate) fn check_steps<P>(steps: &[MovedStep<P>], turns_rad: &[f64]) -> Result<(), MotionError> {
    for (i, (step, &turn_rad)) in steps.iter().zip(turns_rad).enumerate() {
        let name = name_of(i, step);
        for (what, found_s) in [("move time", step.move_s), ("hold time", step.hold_s)] {
            let place = format!("{name}: {what}");
            finite(&place, found_s)?;
            if found_s < 0.0 {
                return Err(MotionError::NegativeTime { place, found_s });
            }
        }
        if step.move_s == 0.0 && turn_rad > 0.0 {
            let place = format!("{name}: move time");
            return Err(MotionError::TurnInNoTime {
                place,
                found_rad: turn_rad,
            });
        }
        match step.movement.profile {
            MoveProfile::Trapezoid { ramp_share: found } if !(found > 0.0 && found <= 0.5) => {
                return Err(MotionError::RampShare { found });
            }
            MoveProfile::Throw { stop_share: found } if !(found > 0.0 && found < 1.0) => {
                let place = format!("{name}: throw");
                return Err(MotionError::StopShare { place, found });
            }
            _ => {}
        }
    }
    Ok(())
}
