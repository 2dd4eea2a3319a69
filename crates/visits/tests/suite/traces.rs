//! Recorded traces: ten and more kinds of bad ones, and the shipped sample run beside its plan.

use std::fmt::Write;
use std::path::Path;

use lithodrome_rehearsal::read_scenario;
use lithodrome_visits::{Trace, read_trace, rerun, trace_from_csv};

/// 20 s at rest upright and lying, ten samples a second, in the columns of one sensor.
fn good(header: &str, row: impl Fn(f64, f64) -> String) -> Vec<String> {
    let mut lines = vec![header.to_owned()];
    for i in 0..200 {
        let time_s = f64::from(i) * 0.1;
        // Back by 120° between 5 s and 8 s.
        let track_deg = 120.0 * ((time_s - 5.0) / 3.0).clamp(0.0, 1.0);
        lines.push(row(time_s, track_deg));
    }
    lines
}

fn angles() -> Vec<String> {
    good("time_s,yaw_deg,track_deg", |t, track| {
        format!("{t:.2},45,{track:.3}")
    })
}

fn quaternions() -> Vec<String> {
    good("time_s,head.qw,head.qx,head.qy,head.qz", |t, track| {
        let half = (0.5 * track).to_radians();
        format!("{t:.2},{:.6},{:.6},0,0", half.cos(), half.sin())
    })
}

fn spoilt(mut lines: Vec<String>, line: usize, text: &str) -> String {
    text.clone_into(&mut lines[line - 1]);
    lines.join("\n")
}

fn refused(text: &str) -> Vec<String> {
    let problems = trace_from_csv(text).unwrap_err();
    problems.iter().map(ToString::to_string).collect()
}

#[test]
fn good_traces_are_taken() {
    for lines in [angles(), quaternions()] {
        let trace = trace_from_csv(&lines.join("\n")).unwrap();
        assert_eq!(trace.sensors.len(), 1);
    }
}

/// Each message names the line and the cause.
#[test]
#[expect(clippy::too_many_lines, reason = "one case a kind")]
fn bad_traces_are_refused_with_line_and_cause() {
    let scaled = |factor: f64| {
        good("time_s,yaw_deg,track_deg", move |t, track| {
            format!("{t:.2},{:.4},{:.4}", 45.0 * factor, track * factor)
        })
        .join("\n")
    };
    let mut gap = angles();
    gap.drain(80..95);
    let milliseconds = good("time_s,yaw_deg,track_deg", |t, track| {
        format!("{:.0},45,{track:.2}", 1e3 * t)
    });
    let drifting = good("time_s,qw,qx,qy,qz", |t, track| {
        let half = (0.5 * track).to_radians();
        let norm = 1.0 + 0.0008 * t;
        format!(
            "{t:.2},{:.6},{:.6},0,0",
            norm * half.cos(),
            norm * half.sin()
        )
    });
    let radians_as_degrees = scaled(std::f64::consts::PI / 180.0);
    let degrees_as_radians = angles().join("\n").replacen("track_deg", "track_rad", 1);
    let cases: Vec<(&str, String, &str)> = vec![
        ("empty", String::new(), "line 1: no column for the time"),
        (
            "one row",
            angles()[..2].join("\n"),
            "found 1 rows, allowed are 2 or more",
        ),
        (
            "no time",
            angles().join("\n").replacen("time_s", "yaw_rad", 1),
            "line 1: no column for the time",
        ),
        (
            "no unit",
            angles().join("\n").replacen("yaw_deg", "yaw", 1),
            "line 1: column yaw does not name its unit, allowed is yaw_deg or yaw_rad",
        ),
        (
            "unknown",
            angles().join("\n").replacen("yaw_deg", "pitch_deg", 1),
            "line 1: column pitch_deg is not known",
        ),
        (
            "half a sensor",
            quaternions().join("\n").replacen("head.qz", "neck.qz", 1),
            "line 1: sensor head has no column qz",
        ),
        (
            "ragged",
            spoilt(angles(), 31, "2.9,45"),
            "line 31: found 2 values, the header has 3",
        ),
        (
            "no number",
            spoilt(angles(), 42, "4.00,45,--"),
            "line 42: track_deg: found \"--\", allowed is a finite number",
        ),
        (
            "infinite",
            spoilt(angles(), 43, "4.10,inf,0"),
            "line 43: yaw_deg: found \"inf\"",
        ),
        (
            "backward",
            spoilt(angles(), 62, "5.20,45,40"),
            "line 62: time runs backward, from 5.9 s to 5.2 s",
        ),
        (
            "standing",
            spoilt(angles(), 63, "6.00,45,40.0"),
            "line 63: time stands still at 6 s",
        ),
        (
            "gap",
            gap.join("\n"),
            "line 81: a gap of 1.60 s where samples are 0.100 s apart",
        ),
        (
            "jump",
            spoilt(angles(), 121, "11.90,45,200"),
            "line 121: chair jumps by 80° in 0.100 s, allowed are 400°/s",
        ),
        (
            "length",
            spoilt(quaternions(), 21, "1.90,1.1,0,0,0"),
            "line 21: head: the quaternion has the length 1.100",
        ),
        (
            "drift",
            drifting.join("\n"),
            "chair: the length of the quaternion drifts, from 1.0008",
        ),
        (
            "radians",
            radians_as_degrees,
            "line 82: track_deg: no angle is larger than 2.09°, so these look like radians",
        ),
        (
            "degrees",
            degrees_as_radians,
            "line 82: track_rad: found 120 rad, 19 turns, so these look like degrees",
        ),
        (
            "milliseconds",
            milliseconds.join("\n"),
            "line 3: time_s: samples are 100 s apart, so these look like milliseconds",
        ),
        (
            "not a table",
            format!("time_s,\"yaw_deg,track_deg\n{}", "1,2,3\n".repeat(3)),
            "line 1: ",
        ),
    ];
    for (kind, text, words) in cases {
        let told = refused(&text);
        assert!(told.iter().any(|t| t.contains(words)), "{kind}: {told:?}");
        assert!(told.len() <= 20);
    }
}

#[test]
fn all_faults_are_told_up_to_twenty() {
    let mut lines = angles();
    for line in lines.iter_mut().skip(10).step_by(5) {
        "x,45,0".clone_into(line);
    }
    let told = refused(&lines.join("\n"));
    assert_eq!(told.len(), 20);
    assert!(told[1].starts_with("line 16: time_s"), "{}", told[1]);
}

fn sample() -> Trace {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    read_trace(&root.join("assets/traces/epley-drive.csv")).unwrap()
}

/// The sample was made with targets that are off by the angles and holds asked for here: 24 s of 30 s in
/// the second step, track 114° instead of 120°.
#[test]
fn the_sample_runs_beside_its_plan() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let plan = read_scenario(&root.join("scenarios/right-posterior-epley.ron")).unwrap();
    let trace = sample();
    let by_chair = rerun(&plan, Path::new(""), &trace, None).unwrap();
    assert_eq!(
        (by_chair.sensor.as_str(), by_chair.debrief.steps.len()),
        ("chair", 5)
    );
    let hang = &by_chair.debrief.steps[1];
    // Yaw 44° and track 114° against 45° and 120°: 6.1° by hand (6° along the track, 1° · sin 117°).
    assert!((hang.off_deg - 6.1).abs() < 0.2, "{hang:?}");
    assert!((hang.driven_hold_s - 24.0).abs() < 0.5, "{hang:?}");
    assert_eq!(by_chair.plan.debris.len(), by_chair.driven.debris.len());
    let apart = &by_chair.sensors_apart[0];
    assert_eq!(apart.sensor, "head");
    assert!((3.0..5.0).contains(&apart.deg), "{apart:?}");
    let by_head = rerun(&plan, Path::new(""), &trace, Some("head")).unwrap();
    assert!((by_head.debrief.steps[1].off_deg - hang.off_deg).abs() < 6.0);
    assert!(by_head.off_plane_deg < 5.0 && by_head.off_plane_deg > 1.0);
    let error = rerun(&plan, Path::new(""), &trace, Some("foot")).unwrap_err();
    assert_eq!(
        error.to_string(),
        "sensor: found foot, allowed is chair, head"
    );
    let text = by_chair.text();
    assert!(
        text.contains("held 24 s of 30 s") && text.contains("not a medical device"),
        "{text}"
    );
}

#[test]
fn a_head_that_leaves_the_chairs_planes_is_not_guessed_at() {
    let mut text = "time_s,qw,qx,qy,qz\n".to_owned();
    for i in 0..200 {
        // Bent to the front by 60°, then over the right side by 60°: no one plane of a track.
        let turn = (30.0 * (f64::from(i) / 30.0).min(1.0)).to_radians();
        let side = (30.0 * ((f64::from(i) - 100.0) / 30.0).clamp(0.0, 1.0)).to_radians();
        let (w, x, y, z) = (
            turn.cos() * side.cos(),
            turn.cos() * side.sin(),
            turn.sin() * side.cos(),
            -turn.sin() * side.sin(),
        );
        let _ = writeln!(
            text,
            "{:.2},{w:.6},{x:.6},{y:.6},{z:.6}",
            f64::from(i) * 0.1
        );
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let plan = read_scenario(&root.join("scenarios/right-posterior-epley.ron")).unwrap();
    let trace = trace_from_csv(&text).unwrap();
    let message = rerun(&plan, Path::new(""), &trace, None)
        .unwrap_err()
        .to_string();
    assert!(
        message.contains("out of the plane of the track"),
        "{message}"
    );
}
