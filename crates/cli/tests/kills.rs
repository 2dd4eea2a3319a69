//! A program that is killed while it writes leaves the old file or the whole new one, and what it had begun is
//! taken away by the next that writes there.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

/// Times that the program is killed.
const KILLS: u32 = 100;

/// Short to compute and long to write: no debris, many samples.
const SCENARIO: &str = r#"(
    format: 1, title: "Much to write",
    steps: [(name: "Wait", move_s: 0.0, hold_s: 600.0)],
)"#;

fn start(folder: &Path) -> Child {
    Command::new(env!("CARGO_BIN_EXE_lithodrome-cli"))
        .args(["rehearse", "much.ron", "--trace", "out.csv", "--force"])
        .current_dir(folder)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn a_hundred_kills_leave_no_half_file_and_the_next_start_leaves_no_rest() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    fs::write(at("much.ron"), SCENARIO).unwrap();
    let began = Instant::now();
    assert!(start(folder.path()).wait().unwrap().success());
    let whole = fs::read(at("out.csv")).unwrap();
    let usual = began.elapsed();
    let mut cut_off = 0;
    for kill in 0..KILLS {
        // The old file is there for one half of the kills.
        let old = if kill % 2 == 0 { "old" } else { "" };
        if old.is_empty() {
            let _ = fs::remove_file(at("out.csv"));
        } else {
            fs::write(at("out.csv"), old).unwrap();
        }
        let before = names(folder.path());
        let mut child = start(folder.path());
        // Half of the kills wait for the write to begin, the others come at any time; both at moments that spread
        // evenly (the golden ratio's multiples).
        let share = (f64::from(kill) * 0.618_033_988_75).fract();
        if kill % 4 < 2 {
            let writes = |name: &String| name.starts_with(".lithodrome-") && !before.contains(name);
            while child.try_wait().unwrap().is_none() && !names(folder.path()).iter().any(writes) {
                thread::sleep(Duration::from_micros(200));
            }
            thread::sleep(usual.mul_f64(0.2 * share));
        } else {
            thread::sleep(usual.mul_f64(share));
        }
        let _ = child.kill();
        child.wait().unwrap();
        match fs::read(at("out.csv")) {
            Ok(found) => assert!(
                found == old.as_bytes() || found == whole,
                "kill {kill}: half a file"
            ),
            Err(_) => assert!(old.is_empty(), "kill {kill}: the old file is gone"),
        }
        cut_off += usize::from(
            names(folder.path())
                .iter()
                .any(|n| n.starts_with(".lithodrome-")),
        );
    }
    println!("{cut_off} of {KILLS} kills cut a write off");
    // Otherwise this test would have tested nothing.
    assert!(cut_off > 0);
    assert!(start(folder.path()).wait().unwrap().success());
    assert_eq!(names(folder.path()), ["much.ron", "out.csv"]);
    assert_eq!(fs::read(at("out.csv")).unwrap(), whole);
}
