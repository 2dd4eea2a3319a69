//! `search`: one document with the promised keys, a table, a scenario that runs; what is refused.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

/// Coarse and with few ears: what is tested is the verb.
const ASKED: &str = r#"(
    format: 1, title: "Lying on the side",
    case: Canal(ear: Right, canal: Lateral),
    limits: (inversion: false, most_holds: 2),
    grid_deg: 30.0, holds_s: [60.0], wanted: 0.2, seed: 2,
    ears: (tables: 12, planning: 32, check: 32),
    beside: "right-lateral-gufoni-geotropic",
)"#;

fn run_in(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lithodrome-cli"))
        .args(args)
        .current_dir(folder)
        .output()
        .unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn folder_with(text: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("asked.ron"), text).unwrap();
    folder
}

#[test]
fn a_search_prints_the_promised_keys_and_writes_a_scenario() {
    let folder = folder_with(ASKED);
    let search = |more: &[&str]| run_in(folder.path(), &[&["search", "asked.ron"], more].concat());
    let mut documents: Vec<Value> = Vec::new();
    for threads in ["1", "2"] {
        let out = format!("found-{threads}.ron");
        let output = search(&["--json", "--threads", threads, "--out", &out]);
        assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
        assert!(output.stderr.is_empty(), "{}", stderr(&output));
        let mut document: Value = serde_json::from_slice(&output.stdout).unwrap();
        assert!(document["seconds"].as_f64().unwrap() > 0.0);
        document["seconds"] = Value::Null;
        documents.push(document);
    }
    assert_eq!(documents[0], documents[1]);
    let found = &documents[0];
    assert_eq!(found["canal"], "right lateral canal");
    assert_eq!(found["found"], true, "{}", found["why"]);
    assert_eq!(found["limits"]["inversion"], false);
    for key in ["share", "low", "high"] {
        assert!(found[key].is_number(), "{key}");
        assert!(found["beside"][key].is_number(), "{key}");
    }
    assert!(
        found["beside"]["title"]
            .as_str()
            .unwrap()
            .contains("Gufoni")
    );
    for key in ["yaw_deg", "track_deg", "move_s", "hold_s"] {
        assert!(found["sequence"][0][key].is_number(), "{key}");
    }
    assert!(
        found["why"]
            .as_str()
            .unwrap()
            .contains("nothing was chosen")
    );
    // What is written is a scenario like any other, the same for any number of threads.
    let read = |name: &str| std::fs::read(folder.path().join(name)).unwrap();
    assert_eq!(read("found-1.ron"), read("found-2.ron"));
    let rehearsed = run_in(folder.path(), &["rehearse", "--json", "found-1.ron"]);
    assert_eq!(rehearsed.status.code(), Some(0), "{}", stderr(&rehearsed));
    // It is there now, and the search file is never written over.
    let again = search(&["--out", "found-1.ron"]);
    assert_eq!(again.status.code(), Some(1));
    assert!(
        stderr(&again).contains("--force replaces it"),
        "{}",
        stderr(&again)
    );
    let over = search(&["--out", "asked.ron", "--force"]);
    assert!(stderr(&over).contains("is read here"), "{}", stderr(&over));
    let text = search(&["--out", "found-1.ron", "--force"]);
    let text = String::from_utf8(text.stdout).unwrap();
    assert!(
        text.contains("Hold 1: ") && text.contains("not a medical device"),
        "{text}"
    );
}

#[test]
fn a_search_that_finds_nothing_has_done_its_work() {
    let folder = folder_with(&ASKED.replace("inversion: false", "head_down_deg: -80.0"));
    let output = run_in(
        folder.path(),
        &["search", "asked.ron", "--json", "--out", "none.ron"],
    );
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let none: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(none["found"], false);
    assert!(
        none["why"]
            .as_str()
            .unwrap()
            .starts_with("No sequence within these limits")
    );
    assert!(!folder.path().join("none.ron").exists());
}

#[test]
fn what_cannot_be_is_told_in_one_line() {
    let folder = folder_with(&ASKED.replace("grid_deg: 30.0", "grid_deg: 31.0"));
    let output = run_in(folder.path(), &["search", "asked.ron"]);
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(
        stderr(&output),
        "error: asked.ron: grid_deg: found 31, allowed is 5 to 45 degrees, a whole part of 180\n"
    );
    assert!(output.stdout.is_empty());
    assert_eq!(run_in(folder.path(), &["search"]).status.code(), Some(2));
}
