//! `pose`: chair angles to gravity in the head and back.

use std::path::Path;

use lithodrome_labyrinth::Labyrinth;
use lithodrome_rehearsal::{
    DriveReport, PlaneTilt, Posture, RehearsalError, drive_to, load_anatomy, plane_tilts,
    posture_of_angles, posture_of_down,
};
use serde::Serialize;

use crate::output::{Failures, print, print_json};

/// Options of `pose`: yaw and track, or a direction of the head.
#[derive(Debug, clap::Args)]
#[command(group(clap::ArgGroup::new("way").required(true).args(["yaw", "down"])))]
pub(crate) struct Args {
    /// Turn about the patient's long axis, degrees, positive to his left
    #[arg(long, value_name = "D", allow_hyphen_values = true, requires = "track", value_parser = degrees)]
    yaw: Option<f64>,
    /// Turn of the track, degrees, positive lowers the right side at yaw 0
    #[arg(long, value_name = "D", allow_hyphen_values = true, requires = "yaw", value_parser = degrees)]
    track: Option<f64>,
    /// Flexion of the headrest, degrees, positive lowers the nose
    #[arg(long, value_name = "D", allow_hyphen_values = true, default_value_t = 0.0, value_parser = headrest_degrees)]
    headrest: f64,
    /// Direction of gravity in the head: forward, left, up; its length is without meaning
    #[arg(long, value_name = "X,Y,Z", allow_hyphen_values = true, conflicts_with = "track", value_parser = direction)]
    down: Option<Direction>,
    /// Yaw and track to drive from, degrees: tells the shortest drive and how it differs from a straight one
    #[arg(long, value_name = "YAW,TRACK", allow_hyphen_values = true, value_parser = two_angles)]
    from: Option<TwoAngles>,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

/// Three numbers given as one value.
#[derive(Clone, Copy, Debug)]
struct Direction([f64; 3]);

/// Yaw and track given as one value.
#[derive(Clone, Copy, Debug)]
struct TwoAngles([f64; 2]);

/// A pose and what two axes leave over in it.
#[derive(Serialize)]
struct Pose {
    #[serde(flatten)]
    posture: Posture,
    canal_planes: Vec<PlaneTilt>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drive: Option<DriveReport>,
}

/// Farthest that a headrest bends, degrees, as in a scenario.
const MAX_HEADREST_DEG: f64 = 90.0;

/// The ear whose planes are told.
const ANATOMY: &str = "mean-adult";

/// Shows the pose that was asked for.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    let posture = match args.down {
        Some(Direction(down)) => posture_of_down(down, args.headrest),
        None => posture_of_angles(
            args.yaw.unwrap_or(0.0),
            args.track.unwrap_or(0.0),
            args.headrest,
        ),
    };
    let posture = posture.map_err(|e| Failures::one(&e))?;
    let pose = Pose {
        posture,
        canal_planes: plane_tilts(&posture, &labyrinth().map_err(|e| Failures::one(&e))?),
        drive: args
            .from
            .map(|TwoAngles([yaw, track])| drive_to(&posture, yaw, track)),
    };
    if args.json {
        print_json(&pose)
    } else {
        print(&(text(&posture) + &planes_text(&pose.canal_planes) + &drive_text(pose.drive)))
    }
}

fn labyrinth() -> Result<Labyrinth, RehearsalError> {
    let anatomy = load_anatomy(ANATOMY, Path::new(""))?;
    Labyrinth::build(&anatomy).map_err(|error| RehearsalError::Anatomy {
        path: ANATOMY.into(),
        error,
    })
}

fn planes_text(planes: &[PlaneTilt]) -> String {
    let lines: Vec<_> = planes
        .iter()
        .map(|p| {
            format!(
                "  {:<5} {:<9}  {:4.1}°   {:6.1}° or {:6.1}°, but for {:4.1}°\n",
                p.ear,
                p.canal,
                p.tilt_deg,
                p.plane_yaw_deg,
                p.plane_twin_yaw_deg,
                p.residual_tilt_deg
            )
        })
        .collect();
    format!(
        "canal planes ({ANATOMY}): tilt to the vertical here; yaw that lays them in the track's plane\n{}",
        lines.concat()
    )
}

fn drive_text(drive: Option<DriveReport>) -> String {
    drive.map_or_else(String::new, |d| {
        format!(
            "shortest drive to yaw {:.2}°, track {:.2}°: gravity goes {:.1}° in the head, straight would \
             be {:.1}°, at most {:.1}° apart\n",
            d.yaw_deg, d.track_deg, d.driven_deg, d.straight_deg, d.apart_deg
        )
    })
}

fn text(posture: &Posture) -> String {
    let [x, y, z] = posture.down_in_head;
    let free = if posture.yaw_free {
        " (yaw is free: the long axis is vertical)"
    } else {
        ""
    };
    format!(
        "yaw {:.2}°, track {:.2}°, headrest {:.2}°{free}\n\
         gravity in the head: forward {x:.4}, left {y:.4}, up {z:.4}\n\
         the same by yaw {:.2}°, track {:.2}°\n",
        posture.yaw_deg,
        posture.track_deg,
        posture.headrest_deg,
        posture.twin.yaw_deg,
        posture.twin.track_deg,
    )
}

fn degrees(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err("allowed is a finite number of degrees".to_owned()),
    }
}

fn headrest_degrees(text: &str) -> Result<f64, String> {
    match degrees(text) {
        Ok(value) if value.abs() <= MAX_HEADREST_DEG => Ok(value),
        _ => Err(format!(
            "allowed is -{MAX_HEADREST_DEG} to {MAX_HEADREST_DEG} degrees"
        )),
    }
}

fn two_angles(text: &str) -> Result<TwoAngles, String> {
    let allowed = || "allowed are two finite numbers of degrees such as 45,0".to_owned();
    let numbers: Result<Vec<f64>, _> = text.split(',').map(degrees).collect();
    let angles = numbers.map_err(|_| allowed())?;
    angles.try_into().map(TwoAngles).map_err(|_| allowed())
}

fn direction(text: &str) -> Result<Direction, String> {
    let allowed = || "allowed are three finite numbers such as -1,0,0, not all 0".to_owned();
    let numbers: Result<Vec<f64>, _> = text.split(',').map(|n| n.trim().parse()).collect();
    let down: [f64; 3] = numbers
        .ok()
        .and_then(|n| n.try_into().ok())
        .ok_or_else(allowed)?;
    posture_of_down(down, 0.0).map_err(|_| allowed())?;
    Ok(Direction(down))
}
