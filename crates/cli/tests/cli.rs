//! The built binary: exit codes, what stands on stdout and on stderr, what is left on disk.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

fn run_in(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lithodrome-cli"))
        .args(args)
        .current_dir(folder)
        .output()
        .unwrap()
}

fn scenarios() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios")
}

fn run(args: &[&str]) -> Output {
    run_in(&scenarios(), args)
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// The only document on stdout of a command that went well and said nothing else.
fn json(args: &[&str]) -> Value {
    let output = run(args);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(output.stderr.is_empty(), "{}", stderr(&output));
    serde_json::from_slice(&output.stdout).unwrap()
}

const SHORT: &str = r#"(
    format: 1, title: "Short",
    debris: [(ear: Right, canal: Posterior, at: AmpullaryArm, count: 2, diameter_um: 50.0)],
    steps: [(name: "Wait", move_s: 0.0, hold_s: 2.0)],
)"#;

/// A folder with `short.ron`.
fn folder_with_short() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("short.ron"), SHORT).unwrap();
    folder
}

#[test]
fn rehearse_prints_the_promised_keys() {
    let report = json(&["rehearse", "--json", "right-dix-hallpike.ron"]);
    for key in [
        "format",
        "title",
        "engine",
        "duration_s",
        "steps",
        "debris",
        "cleared",
        "switched_to",
        "warnings",
    ] {
        assert!(report.get(key).is_some(), "{key}");
    }
    assert_eq!(report["format"], 1);
    assert_eq!(report["engine"], "settling");
    let step = &report["steps"][1];
    for key in [
        "name",
        "start_s",
        "hold_from_s",
        "end_s",
        "yaw_deg",
        "track_deg",
    ] {
        assert!(step.get(key).is_some(), "{key}");
    }
    assert_eq!(step["yaw_deg"], 45.0);
    assert_eq!(step["track_deg"], 120.0);
    // −cos 120°
    assert!((step["down_in_head"][2].as_f64().unwrap() - 0.5).abs() < 1e-8);
    for key in [
        "vertical",
        "torsion",
        "horizontal",
        "sense",
        "latency_s",
        "peak_spv_deg_s",
        "duration_s",
        "peak_components_deg_s",
    ] {
        assert!(step["nystagmus"].get(key).is_some(), "{key}");
    }
    for key in ["vertical", "torsion", "horizontal"] {
        assert!(
            step["nystagmus"]["peak_components_deg_s"][key].is_f64(),
            "{key}"
        );
    }
    assert_eq!(report["debris"].as_array().unwrap().len(), 8);
    for key in [
        "ear",
        "canal",
        "diameter_um",
        "end_region",
        "end_arc_mm",
        "exit_s",
    ] {
        assert!(report["debris"][0].get(key).is_some(), "{key}");
    }
}

#[test]
fn several_files_make_a_list_and_options_overrule_the_file() {
    let folder = folder_with_short();
    let rigid = SHORT.replace("format: 1,", "format: 1, engine: Rigid, seed: 1,");
    std::fs::write(folder.path().join("rigid.ron"), rigid).unwrap();
    let options = ["rehearse", "--json", "--seed", "7", "--engine", "settling"];
    let args = [&options[..], &["short.ron", "rigid.ron"]].concat();
    let output = run_in(folder.path(), &args);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let list: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(list.as_array().unwrap().len(), 2);
    assert_eq!(list[1]["engine"], "settling");
    assert_eq!(list[1]["seed"], 7);
}

#[test]
fn one_bad_file_does_not_keep_the_others_from_running() {
    let folder = folder_with_short();
    let bad = SHORT.replace("diameter_um: 50.0", "diameter_um: -50.0");
    std::fs::write(folder.path().join("bad.ron"), bad).unwrap();
    let args = ["rehearse", "--json", "none.ron", "bad.ron", "short.ron"];
    let output = run_in(folder.path(), &args);
    assert_eq!(output.status.code(), Some(1));
    let errors = stderr(&output);
    let lines: Vec<_> = errors.lines().collect();
    assert_eq!(lines.len(), 2, "{errors}");
    assert!(
        lines[0].starts_with("error: none.ron: cannot be read"),
        "{errors}"
    );
    assert!(
        lines[1]
            .starts_with("error: bad.ron: debris 1, diameter, debris[1].diameter_um: found -50"),
        "{errors}"
    );
    let list: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(list[0]["title"], "Short");
}

#[test]
fn a_bad_file_gives_one_line_exit_1_and_no_file() {
    let cases = [
        ("(", "error: bad.ron:1:"),
        ("(format: 2)", "error: bad.ron: format: found 2"),
        ("(format: 1, titel: \"T\")", "error: bad.ron:1:"),
        (
            "(format: 1, title: \"T\", steps: [])",
            "error: bad.ron: steps: found 0",
        ),
    ];
    for (text, start) in cases {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("bad.ron"), text).unwrap();
        for args in [
            &["rehearse", "--json", "--trace", "out.csv", "bad.ron"][..],
            &["check", "bad.ron"],
        ] {
            let output = run_in(folder.path(), args);
            assert_eq!(output.status.code(), Some(1), "{text}");
            assert!(output.stdout.is_empty(), "{}", stdout(&output));
            let errors = stderr(&output);
            assert!(
                errors.starts_with(start) && errors.lines().count() == 1,
                "{errors}"
            );
            assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
        }
    }
}

#[test]
fn a_trace_is_whole_or_not_there() {
    let folder = folder_with_short();
    let there = run_in(
        folder.path(),
        &["rehearse", "--trace", "out.csv", "short.ron"],
    );
    assert_eq!(there.status.code(), Some(0), "{}", stderr(&there));
    let table = std::fs::read_to_string(folder.path().join("out.csv")).unwrap();
    assert!(table.starts_with("# Scenario: Short\n"), "{table:.80}");
    let header = table.lines().find(|line| !line.starts_with('#')).unwrap();
    assert!(header.starts_with("time_s,step,yaw_deg,track_deg,down_x,down_y,down_z,"));
    let nowhere = run_in(
        folder.path(),
        &["rehearse", "--trace", "none/out.csv", "short.ron"],
    );
    assert_eq!(nowhere.status.code(), Some(1));
    assert!(nowhere.stdout.is_empty());
    let errors = stderr(&nowhere);
    assert!(
        errors.starts_with("error: none/out.csv: cannot be written"),
        "{errors}"
    );
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2);
}

/// The ear of a scenario is an input as well.
#[test]
fn a_trace_never_replaces_the_ear_of_its_scenario() {
    let folder = folder_with_short();
    let own = folder.path().join("own.csv");
    let table = include_str!("../../../assets/anatomies/example-centre-lines.csv");
    std::fs::write(&own, table).unwrap();
    let path = folder.path().join("short.ron");
    let text = std::fs::read_to_string(&path).unwrap();
    let with_own = text.replacen('(', "(anatomy: \"own.csv\",", 1);
    std::fs::write(&path, with_own).unwrap();
    let refused = run_in(
        folder.path(),
        &["rehearse", "--trace", "own.csv", "--force", "short.ron"],
    );
    assert_eq!(refused.status.code(), Some(1));
    assert_eq!(std::fs::read_to_string(&own).unwrap(), table);
    let errors = stderr(&refused);
    assert!(errors.contains("own.csv"), "{errors}");
}

#[test]
fn text_ends_with_the_caution() {
    let folder = folder_with_short();
    let output = run_in(folder.path(), &["rehearse", "short.ron"]);
    let text = stdout(&output);
    let caution = "A teaching and planning model, not a medical device.";
    assert!(
        text.starts_with("Short\n") && text.trim_end().ends_with(caution),
        "{text}"
    );
}

#[test]
fn wrong_usage_is_exit_2() {
    let cases: [&[&str]; 12] = [
        &[],
        &["rehearse"],
        &["rehearse", "--engine", "fast", "a.ron"],
        &["rehearse", "--seed", "-1", "a.ron"],
        &["rehearse", "--trace", "t.csv", "a.ron", "b.ron"],
        &["check"],
        &["pose"],
        &["pose", "--yaw", "45"],
        &["pose", "--yaw", "45", "--track", "nan"],
        &["pose", "--down", "0,0,0"],
        &["pose", "--down", "1,NaN,0"],
        &["pose", "--down", "1,0,0", "--track", "3"],
    ];
    for args in cases {
        let output = run(args);
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        assert!(
            output.stdout.is_empty() && !output.stderr.is_empty(),
            "{args:?}"
        );
    }
}

#[test]
fn pose_goes_there_and_back() {
    let there = json(&["pose", "--yaw", "-45", "--track", "120", "--json"]);
    // (−sin 120° sin −45°, −sin 120° cos −45°, −cos 120°) = (√6/4, −√6/4, 1/2)
    let expected = [6_f64.sqrt() / 4.0, -6_f64.sqrt() / 4.0, 0.5];
    for (i, expected) in expected.into_iter().enumerate() {
        assert!((there["down_in_head"][i].as_f64().unwrap() - expected).abs() < 1e-8);
    }
    assert_eq!(there["twin"]["yaw_deg"], 135.0);
    assert_eq!(there["twin"]["track_deg"], -120.0);
    assert_eq!(there["yaw_free"], false);
    let back = json(&["pose", "--down", "-3,0,0", "--json"]);
    // Face up: yaw 90, track 90.
    assert_eq!(back["yaw_deg"], 90.0);
    assert_eq!(back["track_deg"], 90.0);
    assert_eq!(back["down_in_head"], serde_json::json!([-1.0, 0.0, 0.0]));
    assert_eq!(
        json(&["pose", "--down", "0,0,-1", "--json"])["yaw_free"],
        true
    );
}

#[test]
fn pose_tells_what_two_axes_leave_over() {
    let pose = json(&[
        "pose", "--yaw", "135", "--track", "120", "--from", "45,120", "--json",
    ]);
    assert_eq!(pose["canal_planes"].as_array().unwrap().len(), 6);
    // 90° of yaw along the circle 30° below the horizontal: 90° · cos 30°.
    let driven = pose["drive"]["driven_deg"].as_f64().unwrap();
    assert!((driven - 77.942).abs() < 1e-3, "{driven}");
    let text = stdout(&run(&["pose", "--down", "0,-1,0", "--from", "0,0"]));
    assert!(
        text.contains("right posterior") && text.contains("shortest drive to yaw 0.00°"),
        "{text}"
    );
    for bad in ["45", "45,x", "1,2,3", "nan,0"] {
        let output = run(&["pose", "--yaw", "0", "--track", "0", "--from", bad]);
        assert_eq!(output.status.code(), Some(2), "{bad}");
    }
}

#[test]
fn check_names_broken_limits_before_a_run() {
    let folder = tempfile::tempdir().unwrap();
    let text = r#"(format: 1, title: "Limited", limits: (head_down_deg: 20.0, no_throw: true),
        steps: [(name: "Back", yaw_deg: 45.0, track_deg: 120.0, move: Throw(), move_s: 0.0, hold_s: 5.0)])"#;
    std::fs::write(folder.path().join("limited.ron"), text).unwrap();
    let output = run_in(folder.path(), &["check", "limited.ron"]);
    assert_eq!(output.status.code(), Some(0));
    let text = stdout(&output);
    assert!(
        text.contains("step 1 (Back) at 0.8 s: the head is below the horizontal by 30.0°"),
        "{text}"
    );
    assert!(
        text.contains("a throw turns 120.0°, this patient allows no throw"),
        "{text}"
    );
}

#[test]
fn anatomy_tells_canals_and_angles() {
    let report = json(&["anatomy", "--json"]);
    assert_eq!(report["canals"].as_array().unwrap().len(), 6);
    for key in [
        "ear",
        "canal",
        "n_exc",
        "arc_radius_mm",
        "duct_length_mm",
        "duct_radius_mm",
        "plane_fit_residual_mm",
    ] {
        assert!(report["canals"][0].get(key).is_some(), "{key}");
    }
    let angles = report["angles_deg"].as_array().unwrap();
    assert_eq!(angles.len(), 6);
    // Della Santina 2005, J Assoc Res Otolaryngol 6:191: 94.0° between anterior and posterior.
    assert_eq!(
        angles[1]["between"],
        serde_json::json!(["anterior", "posterior"])
    );
    assert!((angles[1]["deg"].as_f64().unwrap() - 94.0).abs() < 0.5);
    let unknown = run(&["anatomy", "nobody"]);
    assert_eq!(unknown.status.code(), Some(1));
    let errors = stderr(&unknown);
    assert!(
        errors.starts_with("error: anatomy: found \"nobody\"") && errors.contains("mean-adult")
    );
    let table = stdout(&run(&["anatomy"]));
    assert!(table.contains("Della Santina 2005") && table.contains("right posterior"));
}

#[test]
fn check_tells_each_file() {
    let folder = folder_with_short();
    let output = run_in(folder.path(), &["check", "short.ron", "none.ron"]);
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(stdout(&output), "short.ron: ok\n");
    assert!(stderr(&output).starts_with("error: none.ron: "));
    let output = run_in(folder.path(), &["check", "--json", "short.ron", "none.ron"]);
    let list: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(list[0]["file"], "short.ron");
    assert_eq!(
        (&list[0]["ok"], &list[0]["error"]),
        (&true.into(), &Value::Null)
    );
    // What a run would cost is told beforehand.
    assert!(list[0]["cost_s"]["rigid"].as_f64() > list[0]["cost_s"]["settling"].as_f64());
    assert_eq!(list[1]["ok"], false);
}

#[test]
fn a_reader_that_goes_away_is_no_panic() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_lithodrome-cli"))
        .args(["anatomy", "--json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert!(output.stderr.is_empty(), "{}", stderr(&output));
    assert_eq!(output.status.code(), Some(0));
}
