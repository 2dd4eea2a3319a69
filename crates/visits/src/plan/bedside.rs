//! Whether a bed would do: the same directions of the head by trunk and neck.

use std::path::Path;

use lithodrome_chair::HeadMotion;
use lithodrome_rehearsal::{Carrier, Scenario, compile, posture_of_angles};

use super::patient::Patient;
use super::refusal::Refusal;
use crate::VisitError;

/// Angles between wanted and reached direction up to this are those of practised hands, degrees
/// (assumed; clinicians miss by more, 2025, Front Neurol, fneur.2025.1654404).
const REACHED_DEG: f64 = 10.0;

/// The same directions of the head on a bed, with this neck and back; why they cannot be had there.
pub(super) fn at_bedside(
    scenario: &Scenario,
    motion: &HeadMotion,
    patient: &Patient,
) -> Result<Vec<Refusal>, VisitError> {
    let mut refused = Vec::new();
    if let Some(step) = upside_down_in(motion) {
        let name = &scenario.steps[step].name;
        refused.push(Refusal {
            reason: format!(
                "step {} ({name}): the head goes upside down; on a bed nobody is turned head over heels",
                step + 1
            ),
            change: "the chair, whose track turns all the way round".to_owned(),
        });
    }
    for caution in patient.cautions.iter().filter(|c| c.rests_the_neck()) {
        refused.push(Refusal {
            reason: format!(
                "the neck must rest ({}: {})",
                caution.name(),
                caution.reason()
            ),
            change: "the chair, which turns head and trunk together".to_owned(),
        });
    }
    let mut on_bed = scenario.clone();
    on_bed.body = Some(Carrier::Bedside { neck: patient.neck });
    on_bed.chair = lithodrome_rehearsal::StartAngles::default();
    let (mut lowest_deg, mut lowest_step) = (-90.0_f64, 0);
    let mut headrest_deg = scenario.chair.headrest_flexion_deg;
    for (i, (step, [yaw, track])) in on_bed
        .steps
        .iter_mut()
        .zip(scenario.angles_deg())
        .enumerate()
    {
        headrest_deg = step.headrest_flexion_deg.unwrap_or(headrest_deg);
        let down = posture_of_angles(yaw, track, headrest_deg)
            .map_err(lithodrome_rehearsal::RehearsalError::from)?;
        let down = down.down_in_head;
        let below_deg = down[2].clamp(-1.0, 1.0).asin().to_degrees();
        if below_deg > lowest_deg {
            (lowest_deg, lowest_step) = (below_deg, i);
        }
        step.down_in_head = Some(down);
        step.yaw_deg = None;
        step.track_deg = None;
        step.headrest_flexion_deg = None;
        step.movement = None;
        step.move_s = step.move_s.max(1.0);
    }
    // Lying on the back the head is level at 90° of recline.
    let lies_deg = lowest_deg + 90.0;
    if lies_deg.min(90.0) > patient.back_recline_deg + REACHED_DEG {
        let name = &scenario.steps[lowest_step].name;
        refused.push(Refusal {
            reason: format!(
                "step {} ({name}): the trunk lies back by {:.0}°, this back allows {:.0}°",
                lowest_step + 1,
                lies_deg.min(90.0),
                patient.back_recline_deg
            ),
            change: "the chair, in which the back keeps its shape".to_owned(),
        });
    }
    let compiled = compile(&on_bed, Path::new(""))?;
    let worst = compiled
        .shortfalls
        .iter()
        .filter(|s| s.apart_deg > REACHED_DEG)
        .max_by(|a, b| a.apart_deg.total_cmp(&b.apart_deg));
    if let Some(short) = worst {
        let neck = &patient.neck;
        refused.push(Refusal {
            reason: format!(
                "step {} ({}): with a neck that turns {:.0}° and bends back {:.0}° the head comes no nearer than {:.0}° to where it should be",
                short.step + 1,
                short.step_name,
                neck.rotation_deg,
                neck.extension_deg,
                short.apart_deg
            ),
            change: "the chair, which needs no neck".to_owned(),
        });
    }
    Ok(refused)
}

/// The first step in whose move or hold the head is upside down: the ends of steps do not tell of a turn that goes
/// on through there.
fn upside_down_in(motion: &HeadMotion) -> Option<usize> {
    /// A full turn in one move is seen every degree and a half on average.
    const SAMPLES: u32 = 240;
    let least = (90.0 - REACHED_DEG).to_radians().sin();
    motion.times().iter().position(|t| {
        let move_s = t.hold_from_s - t.start_s;
        (0..=SAMPLES)
            .map(|i| t.start_s + move_s * f64::from(i) / f64::from(SAMPLES))
            .any(|time_s| motion.at(time_s).down_in_head.z > least)
    })
}
