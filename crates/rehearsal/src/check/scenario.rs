//! Ranges of everything in a scenario that can be judged without an anatomy.

use super::about::check_about;
use super::matter::{check_cupulae, check_matter};
use super::range::{MAX_ANGLE_DEG, MAX_BODIES, MAX_DURATION_S, MAX_SAT_S, angle, within};
use super::recorded::check_recorded;
use super::steps::check_steps;
use crate::error::FieldError;
use crate::scenario::{At, Carrier, FORMAT, Limits, Scenario};

/// Every value within its range, or the first that is not.
pub fn check(scenario: &Scenario) -> Result<(), FieldError> {
    if scenario.format != FORMAT {
        return Err(FieldError::new(
            "format",
            &scenario.format,
            FORMAT.to_string(),
        ));
    }
    for (field, text) in [("title", &scenario.title), ("anatomy", &scenario.anatomy)] {
        if text.trim().is_empty() {
            return Err(FieldError::new(field, &"an empty text", "a text"));
        }
    }
    if let Some(about) = &scenario.about {
        check_about(about)?;
    }
    check_debris(scenario)?;
    check_cupulae(&scenario.cupulae)?;
    let chair = scenario.chair;
    angle("chair.yaw_deg", chair.yaw_deg, MAX_ANGLE_DEG)?;
    angle("chair.track_deg", chair.track_deg, MAX_ANGLE_DEG)?;
    angle(
        "chair.headrest_flexion_deg",
        chair.headrest_flexion_deg,
        90.0,
    )?;
    check_steps(scenario)?;
    check_recorded(scenario)?;
    if let Some(limits) = &scenario.limits {
        check_limits_of("limits", limits, scenario)?;
    }
    if let Some(limits) = &scenario.chair_limits {
        check_limits_of("chair_limits", limits, scenario)?;
    }
    if let Some(sat_s) = scenario.sat_s {
        within("sat_s", sat_s, 0.0, MAX_SAT_S, "s")?;
    }
    if let Some(visible) = scenario.visible_spv_deg_s {
        within("visible_spv_deg_s", visible, 0.01, 1_000.0, "deg/s")?;
    }
    if let Some(eyes) = &scenario.eyes {
        // An eye turns by 45° and 35° or so (from memory).
        angle("eyes.gaze_right_deg", eyes.gaze_right_deg, 45.0)?;
        angle("eyes.gaze_up_deg", eyes.gaze_up_deg, 35.0)?;
    }
    Ok(())
}

fn check_debris(scenario: &Scenario) -> Result<(), FieldError> {
    for (i, entry) in scenario.debris.iter().enumerate() {
        let field = |name: &str| format!("debris[{}].{name}", i + 1);
        if entry.count == 0 || u64::from(entry.count) > MAX_BODIES {
            let allowed = format!("1 to {MAX_BODIES}");
            return Err(FieldError::new(field("count"), &entry.count, allowed));
        }
        // Not written as `<`, so that NaN is caught.
        if !(entry.diameter_um >= 0.1 && entry.diameter_um.is_finite()) {
            return Err(FieldError::new(
                field("diameter_um"),
                &entry.diameter_um,
                "0.1 µm to the width of the duct",
            ));
        }
        if let Some(density) = entry.density_g_cm3 {
            within(&field("density_g_cm3"), density, 0.9, 3.0, "g/cm³")?;
        }
        check_matter(entry, &field)?;
        if let At::Arc { mm } = entry.at {
            within(&field("at.mm"), mm, -10.0, 50.0, "mm from the cupula")?;
        }
    }
    if scenario.bodies() > MAX_BODIES {
        return Err(FieldError::new(
            "debris",
            &format!("{} bodies in all", scenario.bodies()),
            format!("at most {MAX_BODIES}"),
        ));
    }
    Ok(())
}

/// Every limit is in its range; `of` is the field that holds them.
pub fn check_limits(of: &str, limits: &Limits) -> Result<(), FieldError> {
    let ranges = [
        ("head_down_deg", limits.head_down_deg, 0.0, 90.0, "deg"),
        ("yaw_deg", limits.yaw_deg, 0.0, MAX_ANGLE_DEG, "deg"),
        ("inverted_s", limits.inverted_s, 0.0, MAX_DURATION_S, "s"),
        ("speed_deg_s", limits.speed_deg_s, 0.1, 1e4, "deg/s"),
        (
            "acceleration_deg_s2",
            limits.acceleration_deg_s2,
            0.1,
            1e6,
            "deg/s²",
        ),
    ];
    for (name, value, least, most, unit) in ranges {
        if let Some(value) = value {
            within(&format!("{of}.{name}"), value, least, most, unit)?;
        }
    }
    Ok(())
}

fn check_limits_of(of: &str, limits: &Limits, scenario: &Scenario) -> Result<(), FieldError> {
    check_limits(of, limits)?;
    if limits.yaw_deg.is_some() && scenario.body.is_some_and(|b| b != Carrier::Chair) {
        let allowed = "no limit of yaw with this body, which has no yaw axis";
        return Err(FieldError::new(
            format!("{of}.yaw_deg"),
            &"a value",
            allowed,
        ));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{DebrisEntry, StartAngles, StepEntry};
    use lithodrome_labyrinth::{Canal, Ear};

    fn sound() -> Scenario {
        Scenario {
            format: 1,
            title: "Sound".to_owned(),
            about: None,
            anatomy: "mean-adult".to_owned(),
            debris: vec![DebrisEntry::new(
                Ear::Right,
                Canal::Posterior,
                At::AmpullaryArm,
                8,
                50.0,
            )],
            cupulae: Vec::new(),
            chair: StartAngles::default(),
            steps: vec![StepEntry {
                name: "Lie back".to_owned(),
                track_deg: Some(120.0),
                move_s: 3.0,
                hold_s: 30.0,
                ..StepEntry::default()
            }],
            body: None,
            recorded: Vec::new(),
            chair_limits: None,
            limits: None,
            seed: None,
            engine: None,
            sat_s: None,
            visible_spv_deg_s: None,
            eyes: None,
            notes: None,
        }
    }

    #[test]
    fn a_sound_scenario_passes_with_and_without_debris() {
        check(&sound()).unwrap();
        let mut empty = sound();
        empty.debris.clear();
        check(&empty).unwrap();
    }

    #[test]
    fn every_bad_value_is_told_with_its_field() {
        type Spoil = fn(&mut Scenario);
        let cases: &[(&str, Spoil)] = &[
            ("title: found an empty text", |s| s.title = " ".into()),
            ("debris[1].count: found 0", |s| s.debris[0].count = 0),
            ("debris: found 208 bodies in all", |s| {
                s.debris = vec![s.debris[0].clone(); 26];
            }),
            ("debris[1].diameter_um: found -50", |s| {
                s.debris[0].diameter_um = -50.0;
            }),
            ("debris[1].diameter_um: found NaN", |s| {
                s.debris[0].diameter_um = f64::NAN;
            }),
            ("debris[1].diameter_um: found inf", |s| {
                s.debris[0].diameter_um = f64::INFINITY;
            }),
            ("debris[1].density_g_cm3: found 0.5", |s| {
                s.debris[0].density_g_cm3 = Some(0.5);
            }),
            ("debris[1].at.mm: found NaN", |s| {
                s.debris[0].at = At::Arc { mm: f64::NAN };
            }),
            ("chair.yaw_deg: found inf", |s| {
                s.chair.yaw_deg = f64::INFINITY;
            }),
            ("chair.headrest_flexion_deg: found 120", |s| {
                s.chair.headrest_flexion_deg = 120.0;
            }),
            ("steps: found 0, allowed is 1 to 10000", |s| s.steps.clear()),
            ("steps: found 10001", |s| {
                s.steps = vec![s.steps[0].clone(); 10_001];
            }),
            ("steps[1].track_deg: found 36001", |s| {
                s.steps[0].track_deg = Some(36_001.0);
            }),
            ("steps[1].move_s: found -3", |s| s.steps[0].move_s = -3.0),
            (
                "steps[1].move_s: found 0, allowed is more than 0 s for a turn of 120°",
                |s| s.steps[0].move_s = 0.0,
            ),
            (
                "steps[1].move_s: found 0.001, allowed is 0.33 s or more",
                |s| s.steps[0].move_s = 0.001,
            ),
            ("steps[1].hold_s: found 0.000000001", |s| {
                s.steps[0].hold_s = 1e-9;
            }),
            // 10/√3 · 1° / (0.005 s)² = 231,000 deg/s².
            (
                "steps[1].move_s: found 0.005, allowed is 0.017 s or more for a turn of 1°",
                |s| {
                    s.steps[0].track_deg = Some(1.0);
                    s.steps[0].move_s = 0.005;
                },
            ),
            ("steps[1].hold_s: found NaN", |s| {
                s.steps[0].hold_s = f64::NAN;
            }),
            ("steps: found 86403 s in all", |s| {
                s.steps[0].hold_s = 86_400.0;
            }),
            ("steps: found 0 s in all", |s| {
                s.steps[0].track_deg = None;
                s.steps[0].move_s = 0.0;
                s.steps[0].hold_s = 0.0;
            }),
            ("limits.head_down_deg: found -1", |s| {
                s.limits = Some(Limits {
                    head_down_deg: Some(-1.0),
                    ..Limits::default()
                });
            }),
            ("eyes.gaze_up_deg: found 40", |s| {
                s.eyes = Some(crate::EyesEntry {
                    gaze_up_deg: 40.0,
                    ..crate::EyesEntry::default()
                });
            }),
            ("sat_s: found -1", |s| s.sat_s = Some(-1.0)),
            ("visible_spv_deg_s: found 0", |s| {
                s.visible_spv_deg_s = Some(0.0);
            }),
        ];
        for (start, spoil) in cases {
            let mut scenario = sound();
            spoil(&mut scenario);
            let message = check(&scenario).unwrap_err().to_string();
            assert!(message.contains(start), "{start}: {message}");
        }
    }

    #[test]
    fn a_step_that_only_waits_needs_no_move_time() {
        let mut scenario = sound();
        scenario.steps[0].track_deg = Some(0.0);
        scenario.steps[0].move_s = 0.0;
        check(&scenario).unwrap();
    }
}
