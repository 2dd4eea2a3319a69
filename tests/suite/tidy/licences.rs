//! Every crate that the program is built from allows its use under terms like its own.

use std::process::Command;

use super::files::{none, root};

const ALLOWED: [&str; 16] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    // Asks for its own files alone, which are used as they are.
    "MPL-2.0",
    "OFL-1.1",
    "Ubuntu-font-1.0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Crates that name their licence in a file alone, read by hand: MIT.
const IN_A_FILE: [&str; 1] = ["rs-fsrs"];

/// Whether an expression such as `(MIT OR Apache-2.0) AND Unicode-3.0` can be met: of every part that
/// is joined by AND at least one choice is allowed.
fn is_allowed(expression: &str) -> bool {
    expression.replace('/', " OR ").split(" AND ").all(|part| {
        part.split(" OR ")
            .map(|choice| choice.trim().trim_matches(['(', ')']).trim())
            .any(|choice| ALLOWED.contains(&choice))
    })
}

#[test]
fn every_dependency_may_be_used() {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked", "--offline"])
        .args(["--filter-platform", "x86_64-unknown-linux-gnu"])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let metadata: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let packages = metadata["packages"].as_array().unwrap();
    assert!(packages.len() > 100, "{} packages", packages.len());
    let breaches: Vec<String> = packages
        .iter()
        .filter(|p| {
            let expression = p["license"].as_str().unwrap_or("");
            let in_a_file = IN_A_FILE.contains(&p["name"].as_str().unwrap_or(""));
            !(is_allowed(expression) || in_a_file && expression.is_empty())
        })
        .map(|p| format!("{} {}: {}", p["name"], p["version"], p["license"]))
        .collect();
    none("licences", &breaches);
}

#[test]
fn a_licence_that_asks_for_more_is_refused() {
    assert!(is_allowed("MIT/Apache-2.0"));
    assert!(is_allowed("(MIT OR GPL-3.0-only) AND Unicode-3.0"));
    assert!(!is_allowed("GPL-3.0-only"));
    assert!(!is_allowed("MIT AND LGPL-2.1-only"));
}
