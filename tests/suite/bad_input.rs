//! Files with one mistake each: one message, in one line, that names the file and the place.

use std::path::Path;
use std::time::{Duration, Instant};

use lithodrome_rehearsal::{compile_file, read_scenario, write_scenario};

/// A sound file; every case spoils one place of it.
const SOUND: &str = r#"(
    format: 1,
    title: "Sound",
    debris: [
        (ear: Right, canal: Posterior, at: AmpullaryArm, count: 8, diameter_um: 50.0),
    ],
    steps: [
        (name: "Lie back", yaw_deg: 45.0, track_deg: 120.0, move_s: 3.0, hold_s: 30.0),
    ],
)"#;

/// The message for a text as the content of `case.ron`.
fn message_of(text: &[u8]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("case.ron");
    std::fs::write(&path, text).unwrap();
    let message = match compile_file(&path) {
        Ok(_) => panic!("no error for {}", String::from_utf8_lossy(text)),
        Err(e) => e.to_string(),
    };
    assert_eq!(message.lines().count(), 1, "{message}");
    let in_folder = folder.path().join("");
    let start = in_folder.display().to_string();
    assert!(message.starts_with(&start), "{message}");
    message[start.len()..].to_owned()
}

/// `from` of the sound file replaced by `to` must give a message that starts with `start` and holds `words`.
fn check(from: &str, to: &str, start: &str, words: &str) {
    assert!(SOUND.contains(from), "{from}");
    let message = message_of(SOUND.replacen(from, to, 1).as_bytes());
    assert!(
        message.starts_with(start) && message.contains(words),
        "{to}: {message}"
    );
}

#[test]
fn the_sound_file_is_sound() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("case.ron");
    std::fs::write(&path, SOUND).unwrap();
    compile_file(&path).unwrap();
}

#[test]
fn text_that_is_not_a_scenario_is_told_with_line_and_column() {
    check("format: 1,", "format: 1;", "case.ron:2:14: ", "");
    check("count: 8,", "counts: 8,", "case.ron:5:", "counts");
    check("hold_s: 30.0", "hold_s: 30.0, of: 1", "case.ron:8:", "of");
    check("move_s: 3.0, ", "", "case.ron:8:", "move_s");
    check("ear: Right", "ear: Middle", "case.ron:5:", "Middle");
    check("count: 8", "count: -8", "case.ron:5:", "");
    check(
        "at: AmpullaryArm",
        "at: Arc(mm: 2.0, cm: 1.0)",
        "case.ron:5:",
        "cm",
    );
    check("hold_s: 30.0", "hold_s: \"long\"", "case.ron:8:", "");
    check("format: 1,\n", "", "case.ron:", "format");
    check("title: \"Sound\"", "title: \"Sound", "case.ron:", "");
    let empty = message_of(b"");
    assert!(empty.starts_with("case.ron:1:1: "), "{empty}");
    let deep = message_of("[".repeat(100_000).as_bytes());
    assert!(deep.starts_with("case.ron:"), "{deep}");
}

#[test]
fn values_out_of_range_are_told_with_their_field() {
    let cases = [
        (
            "diameter_um: 50.0",
            "diameter_um: -50.0",
            "debris[1].diameter_um: found -50, allowed is 0.1",
        ),
        (
            "diameter_um: 50.0",
            "diameter_um: NaN",
            "debris[1].diameter_um: found NaN",
        ),
        (
            "diameter_um: 50.0",
            "diameter_um: inf",
            "debris[1].diameter_um: found inf",
        ),
        // The duct of the mean adult is 2 × 0.16 mm wide.
        (
            "diameter_um: 50.0",
            "diameter_um: 400.0",
            "debris[1].diameter_um: found 400, allowed is 0.1 to 3",
        ),
        (
            "count: 8",
            "count: 0",
            "debris[1].count: found 0, allowed is 1 to 200",
        ),
        ("count: 8", "count: 201", "debris[1].count: found 201"),
        (
            "at: AmpullaryArm",
            "at: Arc(mm: 45.0)",
            "debris[1].at.mm: found 45",
        ),
        (
            "at: AmpullaryArm",
            "at: Arc(mm: NaN)",
            "debris[1].at.mm: found NaN",
        ),
        (
            "yaw_deg: 45.0",
            "yaw_deg: -inf",
            "steps[1].yaw_deg: found -inf",
        ),
        (
            "track_deg: 120.0",
            "track_deg: 1e9",
            "steps[1].track_deg: found 1000000000",
        ),
        (
            "move_s: 3.0",
            "move_s: 0.0",
            "steps[1].move_s: found 0, allowed is more than 0 s",
        ),
        ("move_s: 3.0", "move_s: -3.0", "steps[1].move_s: found -3"),
        ("hold_s: 30.0", "hold_s: NaN", "steps[1].hold_s: found NaN"),
        (
            "hold_s: 30.0",
            "hold_s: 90000.0",
            "steps[1].hold_s: found 90000",
        ),
        (
            "title: \"Sound\"",
            "title: \"\"",
            "title: found an empty text",
        ),
        ("format: 1", "format: 7", "format: found 7, allowed is 1"),
    ];
    for (from, to, words) in cases {
        check(from, to, "case.ron: ", words);
    }
}

#[test]
fn an_anatomy_that_is_not_there_is_told_with_those_that_are() {
    let unknown = "title: \"Sound\", anatomy: \"mean-adlut\"";
    check(
        "title: \"Sound\"",
        unknown,
        "case.ron: anatomy: found \"mean-adlut\"",
        "mean-adult",
    );
    let missing = "title: \"Sound\", anatomy: \"none.ron\"";
    check(
        "title: \"Sound\"",
        missing,
        "none.ron: cannot be read",
        "no such file",
    );
}

#[test]
fn an_anatomy_file_with_a_mistake_is_told_with_its_own_place() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("case.ron");
    std::fs::write(
        folder.path().join("ear.ron"),
        "(\n  format: 1,\n  ears: 3,\n)",
    )
    .unwrap();
    let anatomy = "title: \"Sound\", anatomy: \"ear.ron\"";
    std::fs::write(&path, SOUND.replace("title: \"Sound\"", anatomy)).unwrap();
    let message = compile_file(&path).unwrap_err().to_string();
    assert!(message.contains("ear.ron:3:"), "{message}");
}

#[test]
fn files_that_cannot_be_read_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let missing = folder.path().join("none.ron");
    let message = read_scenario(&missing).unwrap_err().to_string();
    assert!(message.ends_with("none.ron: cannot be read, there is no such file or folder"));
    let message = read_scenario(folder.path()).unwrap_err().to_string();
    assert!(message.contains("it is a folder"), "{message}");
    let message = message_of(b"(format: 1, title: \"\xff\")");
    assert!(
        message.starts_with("case.ron: ") && message.contains("UTF-8"),
        "{message}"
    );
}

#[test]
fn no_steps_and_far_too_many_end_at_once() {
    let with_steps = |n: usize, step: &str| {
        format!("(format: 1, title: \"T\", steps: [{}])", step.repeat(n)).into_bytes()
    };
    let short = "(name:\"a\",move_s:0,hold_s:1),";
    let long = "(name: \"One of very many steps\", yaw_deg: 45.0, move_s: 3.0, hold_s: 30.0),\n";
    let none = message_of(&with_steps(0, ""));
    assert!(
        none.contains("steps: found 0, allowed is 1 to 10000"),
        "{none}"
    );
    let some = message_of(&with_steps(10_001, short));
    assert!(
        some.starts_with("case.ron:1:") && some.contains("steps: found more than 10000"),
        "{some}"
    );
    // A bound far above what it takes and far below what a person would wait for.
    let began = Instant::now();
    for step in [short, long] {
        let million = message_of(&with_steps(1_000_000, step));
        let told = ["more than 10000", "more than 8 MB"];
        assert!(told.iter().any(|w| million.contains(w)), "{million}");
    }
    assert!(began.elapsed() < Duration::from_secs(20));
}

#[test]
fn a_write_that_fails_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("case.ron");
    std::fs::write(&path, SOUND).unwrap();
    let scenario = read_scenario(&path).unwrap();
    let nowhere = folder.path().join("none/case.ron");
    let message = write_scenario(&scenario, &nowhere).unwrap_err().to_string();
    assert!(
        message.contains("case.ron: cannot be written, there is no such"),
        "{message}"
    );
    assert!(!Path::new(&nowhere).exists());
    let mut spoiled = scenario;
    spoiled.steps.clear();
    assert!(write_scenario(&spoiled, &path).is_err());
    assert_eq!(std::fs::read_to_string(&path).unwrap(), SOUND);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn bodies_and_moves_that_do_not_fit_are_told_with_their_field() {
    let cases = [
        (
            "hold_s: 30.0",
            "hold_s: 30.0, move: Motor(speed_deg_s: 0.0, acceleration_deg_s2: 9.0)",
            "steps[1].move.speed_deg_s: found 0",
        ),
        (
            "hold_s: 30.0",
            "hold_s: 30.0, move: Shaking(axis: Yaw, amplitude_deg: 3.0, frequency_hz: NaN)",
            "steps[1].move.frequency_hz: found NaN",
        ),
        (
            "hold_s: 30.0",
            "hold_s: 30.0, move: Vibration(at: Crown, amplitude_mm: 99.0, frequency_hz: 9.0)",
            "steps[1].move.amplitude_mm: found 99",
        ),
        (
            "move_s: 3.0",
            "move_s: 3000.0, move: Vibration(at: Crown, amplitude_mm: 0.1, frequency_hz: 100.0)",
            "steps[1].move_s: found 3000, allowed is more than 0 s and at most 600 s at 100 Hz",
        ),
        (
            "hold_s: 30.0",
            "hold_s: 30.0, move: Throw(stop_s: 0.0)",
            "steps[1].move.stop_s: found 0",
        ),
        (
            "hold_s: 30.0",
            "hold_s: 30.0, neck: (extend_deg: 10.0)",
            "steps[1].neck: found a value, allowed is trunk and neck with body: Bedside",
        ),
        (
            "hold_s: 30.0",
            "hold_s: 30.0, down_in_head: (1.0, 0.0, 0.0)",
            "steps[1].yaw_deg: found both",
        ),
        (
            "yaw_deg: 45.0, track_deg: 120.0",
            "down_in_head: (0.0, 0.0, 0.0)",
            "steps[1].down_in_head: found (0, 0, 0)",
        ),
        (
            "yaw_deg: 45.0",
            "headrest_flexion_deg: 95.0",
            "steps[1].headrest_flexion_deg: found 95",
        ),
        (
            "steps:",
            "body: Bedside(), steps:",
            "steps[1].yaw_deg: found a value, allowed is trunk, neck or down_in_head",
        ),
        (
            "steps:",
            "body: Bedside(neck: (rotation_deg: -1.0)), steps:",
            "body.neck.rotation_deg: found -1",
        ),
        (
            "steps:",
            "body: Bedside(), chair: (yaw_deg: 3.0), steps:",
            "chair: found angles of a chair",
        ),
        (
            "steps:",
            "body: ThreeAxes, limits: (yaw_deg: 3.0), steps:",
            "limits.yaw_deg: found a value",
        ),
        (
            "steps:",
            "chair_limits: (speed_deg_s: -3.0), steps:",
            "chair_limits.speed_deg_s: found -3",
        ),
    ];
    for (from, to, start) in cases {
        check(from, to, "case.ron: ", start);
    }
    check("steps:", "body: Sofa, steps:", "case.ron:7:", "Sofa");
    check(
        "hold_s: 30.0",
        "hold_s: 30.0, move: Jump()",
        "case.ron:8:",
        "Jump",
    );
}
