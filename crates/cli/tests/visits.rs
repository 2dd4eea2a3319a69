//! `sheet` and `visits` from a terminal.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::path::Path;
use std::process::{Command, Output};

fn cli(args: &[&str]) -> Output {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    Command::new(env!("CARGO_BIN_EXE_lithodrome-cli"))
        .args(args)
        .current_dir(root)
        .output()
        .unwrap()
}

/// What a call printed; it must have worked.
fn printed(args: &[&str]) -> String {
    let done = cli(args);
    let told = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(done.status.success(), "{args:?}: {told}");
    String::from_utf8(done.stdout).unwrap()
}

/// What a call told of its failure, and its exit code.
fn told(args: &[&str]) -> (Option<i32>, String) {
    let done = cli(args);
    (done.status.code(), String::from_utf8(done.stderr).unwrap())
}

#[test]
fn a_sheet_is_written_and_a_wrong_ending_is_told() {
    let folder = tempfile::tempdir().unwrap();
    for (ending, start) in [("pdf", "%PDF-1."), ("svg", "<?xml")] {
        let out = folder.path().join(format!("sheet.{ending}"));
        let out = out.to_str().unwrap();
        printed(&[
            "sheet",
            "scenarios/right-posterior-epley.ron",
            "--out",
            out,
            "--paper",
            "letter",
        ]);
        let bytes = std::fs::read(out).unwrap();
        assert!(bytes.starts_with(start.as_bytes()));
    }
    let out = folder.path().join("sheet.doc");
    let (code, words) = told(&[
        "sheet",
        "scenarios/right-posterior-epley.ron",
        "--out",
        out.to_str().unwrap(),
    ]);
    assert_eq!(code, Some(1));
    assert!(words.contains("found .doc"), "{words}");
    assert_eq!(told(&["sheet"]).0, Some(2));
}

#[test]
fn a_visit_is_planned_rerun_logged_and_counted() {
    let plan = printed(&["visits", "plan", "assets/visits/kestrel-valley.ron"]);
    assert!(
        plan.contains("KV-07") && plan.contains("glaucoma"),
        "{plan}"
    );
    let trace = "assets/traces/epley-drive.csv";
    assert!(printed(&["visits", "trace", trace]).contains("sensors: chair, head"));
    let both = printed(&[
        "visits",
        "rerun",
        "scenarios/right-posterior-epley.ron",
        trace,
    ]);
    assert!(both.contains("held 24 s of 30 s"), "{both}");
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("log.sqlite");
    let log = log.to_str().unwrap();
    printed(&["visits", "add", "assets/visits/logged.ron", "--log", log]);
    let list = printed(&["visits", "list", "--log", log]);
    assert!(
        list.contains("KV-07: 2 tests, 1 canals, not cleared, then cleared, 48 min"),
        "{list}"
    );
    let figures = printed(&["visits", "figures", "--log", log, "--json"]);
    let figures: serde_json::Value = serde_json::from_str(&figures).unwrap();
    assert_eq!(figures["pooled"]["of"], 1);
    let out = folder.path().join("copy.sqlite");
    printed(&[
        "visits",
        "backup",
        "--out",
        out.to_str().unwrap(),
        "--log",
        log,
    ]);
    assert_eq!(
        printed(&["visits", "list", "--log", out.to_str().unwrap()]),
        list
    );
}

#[test]
fn no_output_replaces_a_file_unless_it_is_told_to() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("kept.csv");
    let out = out.to_str().unwrap();
    let study = folder.path().join("study.ron");
    let text = r#"(format: 1, title: "Kept", case: (ear: Right, canal: Posterior), n: 2, seed: 1,
        sequences: ["right-posterior-epley-whole-body"])"#;
    std::fs::write(&study, text).unwrap();
    let log = folder.path().join("log.sqlite");
    let (study, log) = (study.to_str().unwrap(), log.to_str().unwrap());
    let commands: [&[&str]; 5] = [
        &["study", study, "--out", out],
        &["outcome-map", "--ears", "1", "--out", out],
        &["visits", "export", "--log", log, "--out", out],
        &["visits", "backup", "--log", log, "--out", out],
        &["visits", "figures", "--log", log, "--plot", out],
    ];
    for args in commands {
        std::fs::write(out, "mine").unwrap();
        let (code, stderr) = told(args);
        assert_eq!(code, Some(1), "{args:?}");
        assert!(stderr.contains("--force replaces it"), "{stderr}");
        assert_eq!(std::fs::read_to_string(out).unwrap(), "mine", "{args:?}");
    }
    let (code, _) = told(&[commands[0], &["--force"]].concat());
    assert_eq!(code, Some(0));
    assert_ne!(std::fs::read_to_string(out).unwrap(), "mine");
}

/// What only reads makes no log, and beside a file that is no log it leaves nothing.
#[test]
fn a_log_that_is_not_there_is_an_error_and_nothing_is_made() {
    let folder = tempfile::tempdir().unwrap();
    let names = || {
        let files = std::fs::read_dir(folder.path()).unwrap();
        let mut names: Vec<_> = files.map(|f| f.unwrap().file_name()).collect();
        names.sort();
        names
    };
    let place = |name: &str| folder.path().join(name).to_string_lossy().into_owned();
    let (missing, foreign, out) = (place("none.sqlite"), place("notes.txt"), place("out.csv"));
    let verbs: [&[&str]; 4] = [
        &["visits", "list"],
        &["visits", "figures"],
        &["visits", "export", "--out", &out],
        &["visits", "backup", "--out", &out],
    ];
    for verb in verbs {
        let (code, words) = told(&[verb, &["--log", &missing]].concat());
        assert_eq!(code, Some(1), "{verb:?}");
        assert!(words.contains("none.sqlite: found no log"), "{words}");
        assert_eq!(names().len(), 0, "{verb:?}: {:?}", names());
    }
    std::fs::write(&foreign, "Call the home before ten.\n".repeat(40)).unwrap();
    let add: &[&str] = &["visits", "add", "assets/visits/logged.ron"];
    for verb in verbs.into_iter().chain([add]) {
        let (code, words) = told(&[verb, &["--log", &foreign]].concat());
        assert_eq!(code, Some(1), "{verb:?}");
        assert!(words.contains("no log of visits"), "{words}");
        assert_eq!(names(), ["notes.txt"], "{verb:?}");
    }
}

#[test]
fn a_plot_is_an_svg_and_an_episode_lasts_a_day_or_more() {
    let folder = tempfile::tempdir().unwrap();
    let place = |name: &str| folder.path().join(name).to_string_lossy().into_owned();
    let log = place("log.sqlite");
    printed(&["visits", "add", "assets/visits/logged.ron", "--log", &log]);
    for (name, found) in [("f.pdf", "found .pdf"), ("f", "found no ending")] {
        let plot = place(name);
        let (code, words) = told(&["visits", "figures", "--log", &log, "--plot", &plot]);
        assert_eq!(code, Some(1));
        assert!(words.contains(found) && words.contains(".svg"), "{words}");
        assert!(!Path::new(&plot).exists());
    }
    printed(&[
        "visits",
        "figures",
        "--log",
        &log,
        "--plot",
        &place("f.svg"),
    ]);
    for days in ["0", "-3", "NaN", "1e9"] {
        let wish = format!("--episode-days={days}");
        let (code, words) = told(&["visits", "figures", "--log", &log, &wish]);
        assert_eq!(code, Some(2), "{words}");
        assert!(words.contains("allowed are 1 to 3650 days"), "{words}");
    }
}
