//! Directions between crates, and who may know windows, SQL and PDF.

use std::collections::BTreeSet;
use std::fs;

use super::files::{crates, none, root};

/// Each crate and those that it may use.
const ALLOWED: [(&str, &[&str]); 9] = [
    ("labyrinth", &[]),
    ("chair", &["labyrinth"]),
    ("debris", &["labyrinth", "chair"]),
    ("nystagmus", &["labyrinth", "chair", "debris"]),
    ("rehearsal", &["labyrinth", "chair", "debris", "nystagmus"]),
    (
        "visits",
        &["labyrinth", "chair", "debris", "nystagmus", "rehearsal"],
    ),
    (
        "study",
        &["labyrinth", "chair", "debris", "nystagmus", "rehearsal"],
    ),
    (
        "cli",
        &[
            "labyrinth",
            "chair",
            "debris",
            "nystagmus",
            "rehearsal",
            "visits",
            "study",
        ],
    ),
    (
        "app",
        &[
            "labyrinth",
            "chair",
            "debris",
            "nystagmus",
            "rehearsal",
            "visits",
            "study",
        ],
    ),
];

/// Libraries that one crate alone may know.
const ONE_KNOWS: [(&str, &[&str]); 4] = [
    ("app", &["egui", "eframe", "egui_plot", "rfd"]),
    ("visits", &["rusqlite", "krilla"]),
    ("study", &["parquet", "sobol_burley"]),
    ("cli", &["comfy-table", "indicatif"]),
];

fn dependencies(name: &str) -> Vec<String> {
    let manifest = fs::read_to_string(root().join("crates").join(name).join("Cargo.toml")).unwrap();
    let mut section = "";
    manifest
        .lines()
        .filter_map(|line| {
            if line.starts_with('[') {
                section = line;
            }
            let key = line.split(['.', '=', ' ']).next().unwrap_or("");
            (section.ends_with("dependencies]")
                && !section.contains("dev-")
                && !key.is_empty()
                && !key.starts_with(['[', '#']))
            .then(|| key.to_owned())
        })
        .collect()
}

#[test]
fn crates_use_only_those_below_them() {
    let listed: BTreeSet<&str> = ALLOWED.iter().map(|(name, _)| *name).collect();
    let there = crates();
    assert_eq!(
        there.iter().map(String::as_str).collect::<BTreeSet<_>>(),
        listed
    );
    let mut breaches = Vec::new();
    for (name, allowed) in ALLOWED {
        for dependency in dependencies(name) {
            if let Some(used) = dependency.strip_prefix("lithodrome-")
                && !allowed.contains(&used)
            {
                breaches.push(format!("{name} uses {used}, allowed: {allowed:?}"));
            }
        }
    }
    none("directions of crates", &breaches);
}

#[test]
fn windows_sql_pdf_and_tables_are_known_to_one_crate_each() {
    let mut breaches = Vec::new();
    for (owner, libraries) in ONE_KNOWS {
        for (name, _) in ALLOWED.iter().filter(|(name, _)| *name != owner) {
            let known = dependencies(name);
            breaches.extend(
                libraries
                    .iter()
                    .filter(|library| known.iter().any(|k| k == *library))
                    .map(|library| format!("{name} uses {library}, only {owner} may")),
            );
        }
    }
    none("libraries", &breaches);
}

#[test]
fn the_top_level_is_the_one_that_the_developers_page_shows() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE-APACHE",
        "LICENSE-MIT",
        "assets",
        "crates",
        "tests",
        "examples",
        "scenarios",
        "target",
        "out",
    ];
    let breaches: Vec<String> = fs::read_dir(root())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| !name.starts_with('.') && !allowed.contains(&name.as_str()))
        .collect();
    none("top level", &breaches);
}
