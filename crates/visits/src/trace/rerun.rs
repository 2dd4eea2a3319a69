//! A recorded drive run through the model beside its plan.

use std::fmt::Write;
use std::path::Path;

use lithodrome_chair::{HeadMotion, Lever};
use lithodrome_labyrinth::Vec3;
use lithodrome_rehearsal::{CAUTION, Report, Scenario, compile, rehearse};
use serde::Serialize;

use super::orientation::{Recorded, angles_of};
use super::read::{Sensor, Trace};
use crate::VisitError;

/// Farther out of the plane of the track than this two angles do not tell where the head was, degrees
/// (assumed: half of what clinicians miss a target by, 2025, Front Neurol, fneur.2025.1654404).
const OFF_PLANE_DEG: f64 = 12.0;
/// Farther off than this a planned position was not driven, degrees (assumed).
const NOT_DRIVEN_DEG: f64 = 30.0;

/// A plan and what was driven, both computed.
#[derive(Clone, Debug, Serialize)]
pub struct Rerun {
    /// The plan's run.
    pub plan: Report,
    /// The drive's run.
    pub driven: Report,
    /// Step by step of the plan.
    pub steps: Vec<DrivenStep>,
    /// The sensor that was run.
    pub sensor: String,
    /// How far the head left the plane of the track at worst, degrees.
    pub off_plane_deg: f64,
    /// Largest angle between the directions of gravity that another sensor tells, degrees.
    pub sensors_apart: Vec<SensorApart>,
}

/// How far another sensor is from the one that was run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SensorApart {
    /// Its name.
    pub sensor: String,
    /// Largest angle between the two directions of gravity, degrees.
    pub deg: f64,
    /// When, s.
    pub at_s: f64,
}

/// A planned step and the rest of the drive that comes nearest to it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DrivenStep {
    /// Name of the planned step.
    pub name: String,
    /// Rest of the drive, counted from 1; `None` if none came near.
    pub driven_step: Option<usize>,
    /// Angle between planned and driven direction of gravity, degrees.
    pub off_deg: f64,
    /// Planned time at rest, s.
    pub planned_hold_s: f64,
    /// Driven time at rest, s.
    pub driven_hold_s: f64,
}

/// Runs plan and recording in the same ear with the same debris; the sensor is the first one if none is
/// named.
///
/// # Errors
/// A plan that cannot be computed, a sensor that is not there, a head that leaves the plane of the track.
pub fn rerun(
    plan: &Scenario,
    base_dir: &Path,
    trace: &Trace,
    sensor: Option<&str>,
) -> Result<Rerun, VisitError> {
    let chosen = chosen(trace, sensor)?;
    let recorded = angles_of(&chosen.reading, plan.chair.yaw_deg.to_radians());
    let off_plane_deg = recorded.off_plane_rad.to_degrees();
    if off_plane_deg > OFF_PLANE_DEG {
        return Err(VisitError::OffPlane {
            sensor: chosen.name.clone(),
            found_deg: off_plane_deg,
            at_s: recorded.off_plane_at_s,
            allowed_deg: OFF_PLANE_DEG,
        });
    }
    let planned = compile(plan, base_dir)?;
    let flexion_rad = plan.chair.headrest_flexion_deg.to_radians();
    let motion = HeadMotion::from_samples(&recorded.samples, flexion_rad, Lever::default())
        .map_err(|error| VisitError::Motion { error })?;
    let mut from_start = plan.clone();
    from_start.title = format!("{}, as driven", plan.title);
    from_start.chair.yaw_deg = motion.start.yaw_rad.to_degrees();
    from_start.chair.track_deg = motion.start.track_rad.to_degrees();
    let mut driven = compile(&from_start, base_dir)?;
    driven.motion = motion;
    let steps = beside(&planned.motion, &driven.motion);
    Ok(Rerun {
        steps,
        plan: rehearse(&planned)?.report,
        driven: rehearse(&driven)?.report,
        sensor: chosen.name.clone(),
        off_plane_deg,
        sensors_apart: apart(trace, &chosen.name, &recorded, plan),
    })
}

fn chosen<'a>(trace: &'a Trace, name: Option<&str>) -> Result<&'a Sensor, VisitError> {
    let wanted = name.unwrap_or_else(|| trace.sensors.first().map_or("", |s| &s.name));
    let found = trace.sensors.iter().find(|s| s.name == wanted);
    found.ok_or_else(|| VisitError::NoSuchSensor {
        found: wanted.to_owned(),
        allowed: trace
            .sensors
            .iter()
            .map(|s| s.name.clone())
            .collect::<Vec<_>>()
            .join(", "),
    })
}

fn down(yaw_rad: f64, track_rad: f64) -> Vec3 {
    lithodrome_chair::down_in_head(lithodrome_chair::ChairAngles {
        yaw_rad,
        track_rad,
        headrest_flexion_rad: 0.0,
    })
}

/// All sensors share the rows of one file, so their samples are at the same times.
fn apart(trace: &Trace, chosen: &str, recorded: &Recorded, plan: &Scenario) -> Vec<SensorApart> {
    let others = trace.sensors.iter().filter(|s| s.name != chosen);
    others
        .map(|other| {
            let angles = angles_of(&other.reading, plan.chair.yaw_deg.to_radians());
            let pairs = recorded.samples.iter().zip(&angles.samples);
            let (deg, at_s) = pairs
                .map(|(a, b)| {
                    let turn = down(a.yaw_rad, a.track_rad).angle(&down(b.yaw_rad, b.track_rad));
                    (turn.to_degrees(), a.time_s)
                })
                .fold((0.0, 0.0), |m, x| if x.0 > m.0 { x } else { m });
            SensorApart {
                sensor: other.name.clone(),
                deg,
                at_s,
            }
        })
        .collect()
}

/// Rests of the drive given to the planned steps in order, so that the sum of the angles between them is
/// least.
fn beside(plan: &HeadMotion, drive: &HeadMotion) -> Vec<DrivenStep> {
    let rest =
        |motion: &HeadMotion, k: usize| motion.at(motion.times()[k].hold_from_s).down_in_head;
    let downs = |motion: &HeadMotion| -> Vec<Vec3> {
        (0..motion.steps.len()).map(|k| rest(motion, k)).collect()
    };
    let (wanted, found) = (downs(plan), downs(drive));
    let nearest = in_order(&wanted, &found);
    plan.steps
        .iter()
        .enumerate()
        .map(|(k, step)| {
            let off_deg = |j: usize| wanted[k].angle(&found[j]).to_degrees();
            let near = nearest
                .get(k)
                .copied()
                .filter(|&j| off_deg(j) <= NOT_DRIVEN_DEG);
            DrivenStep {
                name: step.name.clone(),
                driven_step: near.map(|j| j + 1),
                off_deg: nearest.get(k).map_or(180.0, |&j| off_deg(j)),
                planned_hold_s: step.hold_s,
                driven_hold_s: near.map_or(0.0, |j| drive.steps[j].hold_s),
            }
        })
        .collect()
}

/// For each wanted direction a found one, never going back, the least sum of angles.
fn in_order(wanted: &[Vec3], found: &[Vec3]) -> Vec<usize> {
    if found.is_empty() {
        return Vec::new();
    }
    // best[k][j]: least sum for the first k + 1 wanted with the last one at j.
    let mut best: Vec<Vec<(f64, usize)>> = Vec::with_capacity(wanted.len());
    for (k, want) in wanted.iter().enumerate() {
        let mut row = Vec::with_capacity(found.len());
        let mut least = (if k == 0 { 0.0 } else { f64::INFINITY }, 0);
        for (j, here) in found.iter().enumerate() {
            if k > 0 && best[k - 1][j].0 < least.0 {
                least = (best[k - 1][j].0, j);
            }
            row.push((least.0 + want.angle(here), least.1));
        }
        best.push(row);
    }
    let mut chosen = vec![0; wanted.len()];
    let mut j = best.last().map_or(0, |row| {
        let least = row
            .iter()
            .enumerate()
            .min_by(|a, b| a.1.0.total_cmp(&b.1.0));
        least.map_or(0, |(j, _)| j)
    });
    for k in (0..wanted.len()).rev() {
        chosen[k] = j;
        j = best[k][j].1;
    }
    chosen
}

impl Rerun {
    /// Plan and drive side by side, for the terminal.
    pub fn text(&self) -> String {
        // Writing into a String does not fail.
        let mut text = String::new();
        let _ = writeln!(text, "{} (sensor {})", self.driven.title, self.sensor);
        for (i, step) in self.steps.iter().enumerate() {
            let _ = match step.driven_step {
                Some(_) => writeln!(
                    text,
                    "{} {}: off by {:.0}°, held {:.0} s of {:.0} s",
                    i + 1,
                    step.name,
                    step.off_deg,
                    step.driven_hold_s,
                    step.planned_hold_s
                ),
                None => writeln!(
                    text,
                    "{} {}: not driven, nearest rest off by {:.0}°",
                    i + 1,
                    step.name,
                    step.off_deg
                ),
            };
        }
        for apart in &self.sensors_apart {
            let _ = writeln!(
                text,
                "Sensor {} differs by up to {:.0}° at {:.1} s",
                apart.sensor, apart.deg, apart.at_s
            );
        }
        for (label, report) in [("Plan", &self.plan), ("Driven", &self.driven)] {
            let _ = writeln!(text, "{label}: {}", report.verdict_sentence);
        }
        let _ = writeln!(text, "\n{CAUTION}");
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rests_are_given_to_steps_in_order() {
        let (up, back, left) = (
            Vec3::new(0.0, 0.0, -1.0),
            Vec3::new(-1.0, 0.0, 0.0),
            Vec3::new(0.0, 1.0, 0.0),
        );
        // Driven with a pause halfway and a correction; planned: up, back, left, up.
        let halfway = (up + back).normalize();
        let found = [up, halfway, back, left, up];
        assert_eq!(in_order(&[up, back, left, up], &found), [0, 2, 3, 4]);
        assert!(in_order(&[up], &[]).is_empty());
    }
}
