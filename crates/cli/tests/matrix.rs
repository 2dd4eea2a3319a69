//! `matrix`: one document, the same for one thread and two; a table; what is refused.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::process::{Command, Output};

fn matrix(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lithodrome-cli"))
        .args(["matrix", "--canal", "posterior", "--count", "2"])
        .args(args)
        .output()
        .unwrap()
}

#[test]
fn one_thread_and_two_print_the_same_document() {
    let words = [
        "--words",
        "right-posterior-epley-bedside",
        "--json",
        "--threads",
    ];
    let [one, two] = ["1", "2"].map(|n| matrix(&[words.as_slice(), &[n]].concat()));
    assert!(one.status.success() && one.stderr.is_empty());
    assert_eq!(one.stdout, two.stdout);
    let document: serde_json::Value = serde_json::from_slice(&one.stdout).unwrap();
    assert_eq!(document["count"], 2);
    let cells = document["cells"].as_array().unwrap();
    // Two ears, five mechanisms.
    assert_eq!(cells.len(), 10);
    let first = &cells[0];
    assert_eq!(first["manoeuvre"], "right-posterior-epley-bedside");
    assert_eq!(first["mechanism"], "ampullary arm");
    assert_eq!(first["intended"], true);
    // The Epley clears its own side (Hilton & Pinder 2014, Cochrane CD003162).
    assert_eq!(first["outcome"], "cleared");
    assert!(first["exit_step"].as_u64().unwrap() >= 3);
    assert!(first["spare_s"].as_f64().unwrap() > 0.0);
    assert_ne!(cells[5]["outcome"], "cleared");
}

#[test]
fn the_table_tells_outcome_step_and_spare_time() {
    let output = matrix(&["--words", "right-posterior-epley-bedside", "--ear", "right"]);
    let text = String::from_utf8(output.stdout).unwrap();
    let words: Vec<_> = text
        .split(|c: char| c.is_whitespace() || "│┆".contains(c))
        .collect();
    let words: Vec<_> = words.into_iter().filter(|w| !w.is_empty()).collect();
    for word in ["right", "posterior", "canal", "cleared", "*"] {
        assert!(words.contains(&word), "{word}:\n{text}");
    }
    // In step 5, with half a minute of its hold to spare.
    assert!(text.contains("cleared 5/30\u{a0}s"), "{text}");
    assert!(!text.contains("left posterior canal "), "{text}");
    for line in text.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
}

#[test]
fn what_cannot_be_is_told_in_one_line() {
    let cases: [(&[&str], &str); 3] = [
        (
            &["--words", "unheard-of"],
            "--words: no manoeuvre of the library",
        ),
        (&["--anatomy", "none"], "anatomy: found \"none\""),
        (
            &["--diameter-um", "900"],
            "debris[1].diameter_um: found 900",
        ),
    ];
    for (args, message) in cases {
        let output = matrix(args);
        assert_eq!(output.status.code(), Some(1), "{args:?}");
        let stderr = String::from_utf8(output.stderr).unwrap();
        assert!(
            stderr.contains(message) && stderr.lines().count() == 1,
            "{stderr}"
        );
        assert!(output.stdout.is_empty());
    }
}

/// The shipped map is read at once: an own row of the map's file for every cell that is told, and the left ear as
/// its mirror image.
#[test]
fn shares_over_ears_are_read_from_the_shipped_map() {
    let over_ears = |more: &[&str]| {
        let args = ["matrix", "--over-ears", "--canal", "posterior"];
        let output = Command::new(env!("CARGO_BIN_EXE_lithodrome-cli"))
            .args([args.as_slice(), more].concat())
            .output()
            .unwrap();
        assert!(output.status.success(), "{output:?}");
        String::from_utf8(output.stdout).unwrap()
    };
    let told = |ear: &str| -> serde_json::Value {
        let words = format!("{ear}-posterior-epley-bedside");
        serde_json::from_str(&over_ears(&["--json", "--ear", ear, "--words", &words])).unwrap()
    };
    let [right, left] = ["right", "left"].map(told);
    let cells = right["cells"].as_array().unwrap();
    assert_eq!(cells.len(), 5);
    let map = include_str!("../../../assets/outcome-map/usual.csv");
    for (cell, mirrored) in cells.iter().zip(left["cells"].as_array().unwrap()) {
        let mechanism = cell["mechanism"].as_str().unwrap();
        // A place with a comma stands in quotation marks.
        let place = if mechanism.contains(',') {
            format!("\"{mechanism}\"")
        } else {
            mechanism.to_owned()
        };
        let line = format!("right-posterior-epley-bedside,posterior,{place},40,65,");
        let letters = map.lines().find_map(|l| l.strip_prefix(&line)).unwrap();
        let cleared = letters.matches('C').count() as f64 / letters.len() as f64;
        assert!((cell["cleared"]["share"].as_f64().unwrap() - cleared).abs() < 1e-12);
        assert_eq!(cell["cleared"], mirrored["cleared"]);
        assert_eq!(mirrored["manoeuvre"], "left-posterior-epley-bedside");
    }
    for line in over_ears(&[]).lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
}
