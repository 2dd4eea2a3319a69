//! Every source file: its length, its first line, and that it holds no clock where none belongs.

use std::fs;
use std::path::{Path, PathBuf};

use walkdir::WalkDir;

const LONGEST: usize = 500;

/// Crates with a clock: `app` moves pictures by it, `cli` a progress line. The others know no time but
/// a run's own.
const WITH_CLOCK: [&str; 2] = ["app", "cli"];

/// Crates that compute and nothing else: no files, threads, or randomness from outside.
const PURE: [&str; 4] = ["labyrinth", "chair", "debris", "nystagmus"];

pub(super) fn root() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/.."))
}

/// Names of the crates' folders.
pub(super) fn crates() -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(root().join("crates"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Every `.rs` file below a folder of the workspace, with its text.
pub(super) fn sources(folder: &str) -> Vec<(PathBuf, String)> {
    WalkDir::new(root().join(folder))
        .sort_by_file_name()
        .into_iter()
        .map(Result::unwrap)
        .filter(|entry| entry.path().extension().is_some_and(|e| e == "rs"))
        .map(|entry| {
            let text = fs::read_to_string(entry.path()).unwrap();
            let path = entry.path().strip_prefix(root()).unwrap().to_owned();
            (path, text)
        })
        .collect()
}

/// Lines of a file before its unit tests.
fn shipped(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines()
        .enumerate()
        .take_while(|(_, line)| line.trim() != "#[cfg(test)]")
        .map(|(i, line)| (i + 1, line))
}

/// Says every breach at once, so that one run is enough to mend them all.
pub(super) fn none(what: &str, breaches: &[String]) {
    assert!(breaches.is_empty(), "{what}:\n{}", breaches.join("\n"));
}

#[test]
fn files_are_short_and_open_with_what_they_own() {
    let mut breaches = Vec::new();
    for folder in ["crates", "tests", "examples"] {
        for (path, text) in sources(folder) {
            let lines = text.lines().count();
            if lines > LONGEST {
                breaches.push(format!(
                    "{}: {lines} lines, allowed {LONGEST}",
                    path.display()
                ));
            }
            if !text.starts_with("//!") {
                breaches.push(format!("{}: does not open with //!", path.display()));
            }
        }
    }
    none("files", &breaches);
}

fn breaches_of(crates: &[String], words: &[&str]) -> Vec<String> {
    let mut breaches = Vec::new();
    for name in crates {
        for (path, text) in sources(&format!("crates/{name}/src")) {
            for (number, line) in shipped(&text) {
                let code = line.split("//").next().unwrap_or(line);
                breaches.extend(
                    words
                        .iter()
                        .filter(|word| code.contains(*word))
                        .map(|word| format!("{}:{number}: {word}", path.display())),
                );
            }
        }
    }
    breaches
}

#[test]
fn nothing_that_computes_holds_a_stopwatch() {
    let mut without = crates();
    without.retain(|name| !WITH_CLOCK.contains(&name.as_str()));
    none(
        "stopwatches",
        &breaches_of(&without, &["Instant", ".elapsed("]),
    );
}

#[test]
fn what_only_computes_touches_no_files_threads_or_entropy() {
    let words = [
        "std::fs",
        "fs::read",
        "fs::write",
        "File::",
        "std::thread",
        "rayon",
        "thread_rng",
        "OsRng",
        "SystemTime",
        "std::env",
    ];
    none(
        "doors to the outside",
        &breaches_of(&PURE.map(str::to_owned), &words),
    );
}

#[test]
fn nothing_is_left_for_later_without_a_word() {
    let words = ["todo!(", "unimplemented!(", "FIXME", "XXX", "dbg!("];
    none("left for later", &breaches_of(&crates(), &words));
}
