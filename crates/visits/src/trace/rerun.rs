//! A recorded drive run through the model beside its plan.

use std::fmt::Write;
use std::ops::ControlFlow;
use std::path::Path;

use lithodrome_chair::{HeadMotion, Lever};
use lithodrome_labyrinth::Vec3;
use lithodrome_rehearsal::{
    CAUTION, Compiled, Computed, DriveDebrief, Rehearsed, Report, Scenario, compile,
    drive_as_scenario, drive_debrief, rehearse,
};
use serde::Serialize;

use super::orientation::{Recorded, angles_of};
use super::read::{Sensor, Trace};
use crate::VisitError;

/// Farther out of the plane of the track than this two angles do not tell where the head was, degrees
/// (assumed: half of what clinicians miss a target by, 2025, Front Neurol, fneur.2025.1654404).
const OFF_PLANE_DEG: f64 = 12.0;

/// A plan and what was driven, both computed.
#[derive(Clone, Debug, Serialize)]
pub struct Rerun {
    /// The plan's run.
    pub plan: Report,
    /// The drive's run.
    pub driven: Report,
    /// Step by step of the plan, the worst moments, and what it would have taken.
    #[serde(flatten)]
    pub debrief: DriveDebrief,
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
    let flexion_rad = plan.chair.headrest_flexion_deg.to_radians();
    let motion = HeadMotion::from_samples(&recorded.samples, flexion_rad, Lever::default())
        .map_err(|error| VisitError::Motion { error })?;
    let driven = drive_as_scenario(plan, &recorded.samples, flexion_rad, motion.times(), |_| {
        None
    })
    .map_err(|error| VisitError::Motion { error })?;
    let [plan, driven] = [plan, &driven].map(|scenario| computed(scenario, base_dir));
    let ((plan, plan_run), (driven, driven_run)) = (plan?, driven?);
    let debrief = drive_debrief(
        side(&plan, &plan_run),
        side(&driven, &driven_run),
        &mut |_| ControlFlow::Continue(()),
    )?;
    Ok(Rerun {
        sensors_apart: apart(trace, &chosen.name, &recorded, plan.scenario.chair.yaw_deg),
        plan: plan_run.report,
        driven: driven_run.report,
        debrief,
        sensor: chosen.name.clone(),
        off_plane_deg,
    })
}

fn computed(scenario: &Scenario, base_dir: &Path) -> Result<(Compiled, Rehearsed), VisitError> {
    let compiled = compile(scenario, base_dir)?;
    let rehearsed = rehearse(&compiled)?;
    Ok((compiled, rehearsed))
}

fn side<'a>(compiled: &'a Compiled, rehearsed: &'a Rehearsed) -> Computed<'a> {
    Computed {
        compiled,
        run: &rehearsed.run,
        report: &rehearsed.report,
    }
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
fn apart(trace: &Trace, chosen: &str, recorded: &Recorded, start_yaw_deg: f64) -> Vec<SensorApart> {
    let others = trace.sensors.iter().filter(|s| s.name != chosen);
    others
        .map(|other| {
            let angles = angles_of(&other.reading, start_yaw_deg.to_radians());
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

impl Rerun {
    /// Plan and drive side by side, for the terminal.
    pub fn text(&self) -> String {
        // Writing into a String does not fail.
        let mut text = String::new();
        let _ = writeln!(text, "{} (sensor {})", self.driven.title, self.sensor);
        text.push_str(&self.debrief.text());
        for apart in &self.sensors_apart {
            let _ = writeln!(
                text,
                "Sensor {} differs by up to {:.0}° at {:.1} s",
                apart.sensor, apart.deg, apart.at_s
            );
        }
        let _ = writeln!(text, "\n{CAUTION}");
        text
    }
}
