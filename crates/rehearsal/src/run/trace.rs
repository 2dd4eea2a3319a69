//! A run as a table over time, one CSV row per sample.

use std::io::Write;
use std::path::Path;

use lithodrome_debris::Run;
use lithodrome_labyrinth::{CanalId, Vec3};
use lithodrome_nystagmus::EyeTrace;

use crate::compile::Compiled;
use crate::error::RehearsalError;
use crate::files::write_whole;
use crate::report::CAUTION;
use crate::units::{deg, tidy};
use lithodrome_labyrinth::text::escaped;

/// Axes of the eyes in the order of their vectors: upper poles to the right ear, down, left.
const EYE_AXES: [&str; 3] = ["upper_pole_right", "down", "left"];

/// Writes the trace of a run: to a temporary file first, then renamed. Lines that begin with "#" say which scenario
/// it is and where the axes point; the header and a row for each sample follow.
///
/// Columns: time, step (from 1), chair angles, gravity in head axes; for every canal the cupula signal
/// caused by debris and by rotation (as head velocity about the canal's axis, positive excites); the
/// slow phase of all and of debris alone; for every body its part, its place in it, its place on the
/// course from cupula to utricle (empty in another canal) and its centre in Reid axes.
pub fn write_trace(
    compiled: &Compiled,
    run: &Run,
    eyes: &EyeTrace,
    path: &Path,
) -> Result<(), RehearsalError> {
    write_whole(path, |writer| fill(compiled, run, eyes, writer))
}

fn fill(
    compiled: &Compiled,
    run: &Run,
    eyes: &EyeTrace,
    writer: &mut dyn Write,
) -> std::io::Result<()> {
    for line in head(compiled) {
        writeln!(writer, "# {line}")?;
    }
    let mut table = csv::Writer::from_writer(writer);
    table.write_record(columns(run.tracks.len()))?;
    for sample in 0..run.time_s.len() {
        table.write_record(row(compiled, run, eyes, sample))?;
    }
    table.flush()
}

/// What the table is of and which way its axes point, a line each.
fn head(compiled: &Compiled) -> Vec<String> {
    let scenario = &compiled.scenario;
    let title = escaped(&scenario.title, false);
    vec![
        format!("Scenario: {title}"),
        format!(
            "Anatomy {}, {} engine, Lithodrome {}",
            compiled.labyrinth.name,
            compiled.engine.name(),
            env!("CARGO_PKG_VERSION")
        ),
        "down_x, down_y, down_z: gravity in head axes, x to the nose, y to the left, z to the crown".to_owned(),
        "x_mm, y_mm, z_mm: Reid's axes from the middle between the ear canals, x to the nose, y to the left, z up"
            .to_owned(),
        "slow phase: upper poles to the right ear, down, left are positive; the fast phase is opposite".to_owned(),
        "yaw to the patient's left and track to the frame's right side down are positive; canal signals excite"
            .to_owned(),
        CAUTION.to_owned(),
    ]
}

fn columns(bodies: usize) -> Vec<String> {
    let mut names: Vec<String> = [
        "time_s",
        "step",
        "yaw_deg",
        "track_deg",
        "down_x",
        "down_y",
        "down_z",
    ]
    .map(str::to_owned)
    .to_vec();
    for id in CanalId::ALL {
        let canal = format!("{}_{}", id.ear.name(), id.canal.name());
        names.push(format!("{canal}_debris_deg_s"));
        names.push(format!("{canal}_rotation_deg_s"));
    }
    for part in ["slow_phase", "debris_slow_phase"] {
        names.extend(EYE_AXES.map(|axis| format!("{part}_{axis}_deg_s")));
    }
    for body in 1..=bodies {
        let of_body = ["region", "arc_mm", "course_mm", "x_mm", "y_mm", "z_mm"];
        names.extend(of_body.map(|what| format!("debris_{body}_{what}")));
    }
    names
}

fn row(compiled: &Compiled, run: &Run, eyes: &EyeTrace, sample: usize) -> Vec<String> {
    let time_s = run.time_s[sample];
    let angles = compiled.motion.angles_at(time_s);
    let mut cells = vec![
        cell(time_s),
        (run.step_index[sample] + 1).to_string(),
        cell(deg(angles.yaw_rad)),
        cell(deg(angles.track_rad)),
    ];
    let vector = |cells: &mut Vec<String>, v: Vec3| cells.extend([v.x, v.y, v.z].map(cell));
    vector(&mut cells, run.down_in_head[sample]);
    for id in CanalId::ALL {
        for signal in [&run.debris_signal_rad_s, &run.rotation_signal_rad_s] {
            cells.push(cell(deg(signal[id.index()][sample])));
        }
    }
    vector(&mut cells, eyes.slow_phase_rad_s[sample].map(deg));
    vector(&mut cells, eyes.debris_slow_phase_rad_s[sample].map(deg));
    for track in &run.tracks {
        let place = track.place[sample];
        cells.push(place.region.name().to_owned());
        cells.push(cell(place.arc_mm));
        cells.push(cell(f64::from(track.course_mm[sample])));
        cells.extend(track.position_in_reid_mm[sample].map(|x| cell(f64::from(x))));
    }
    cells
}

/// Six decimals are finer than any number here is known; what is not a number stays empty.
fn cell(value: f64) -> String {
    if value.is_finite() {
        tidy((value * 1e6).round() / 1e6).to_string()
    } else {
        String::new()
    }
}
