//! `pose`: chair angles to gravity in the head and back.

use lithodrome_rehearsal::{Posture, posture_of_angles, posture_of_down};

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
    #[arg(long, value_name = "D", allow_hyphen_values = true, default_value_t = 0.0, value_parser = degrees)]
    headrest: f64,
    /// Direction of gravity in the head: forward, left, up; its length is without meaning
    #[arg(long, value_name = "X,Y,Z", allow_hyphen_values = true, conflicts_with = "track", value_parser = direction)]
    down: Option<Direction>,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

/// Three numbers given as one value.
#[derive(Clone, Copy, Debug)]
struct Direction([f64; 3]);

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
    if args.json {
        print_json(&posture)
    } else {
        print(&text(&posture))
    }
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
