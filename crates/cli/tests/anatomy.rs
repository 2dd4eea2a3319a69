//! `anatomy` with shipped names, a table of one's own and its faults.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::path::Path;
use std::process::{Command, Output};

fn run_in(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lithodrome-cli"))
        .current_dir(folder)
        .args(args)
        .output()
        .unwrap()
}

#[test]
fn volumes_tilts_and_sources_stand_in_the_table_and_in_the_json() {
    let folder = tempfile::tempdir().unwrap();
    let output = run_in(folder.path(), &["anatomy", "wu-2021", "--json"]);
    let report: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    for key in ["tilt_to_reid_deg", "duct_volume_mm3", "ampulla_volume_mm3"] {
        assert!(report["canals"][0][key].as_f64().unwrap() > 0.0, "{key}");
    }
    assert!(report["vestibule"]["crus_volume_mm3"].is_number());
    assert!(report["published"].as_array().unwrap().len() > 10);
    let text = String::from_utf8(run_in(folder.path(), &["anatomy"]).stdout).unwrap();
    for word in ["utricle", "Spoor & Zonneveld 1998", "(from memory)", "mm³"] {
        assert!(text.contains(word), "{word}");
    }
}

#[test]
fn a_table_of_ones_own_is_read_and_its_fault_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let table = include_str!("../../../assets/anatomies/example-centre-lines.csv");
    std::fs::write(folder.path().join("own.csv"), table).unwrap();
    let output = run_in(folder.path(), &["anatomy", "own.csv"]);
    assert_eq!(output.status.code(), Some(0));
    assert!(
        String::from_utf8(output.stdout)
            .unwrap()
            .starts_with("Anatomy own,")
    );
    std::fs::write(folder.path().join("bad.csv"), &table[..table.len() / 2]).unwrap();
    let output = run_in(folder.path(), &["anatomy", "bad.csv"]);
    assert_eq!(output.status.code(), Some(1));
    let errors = String::from_utf8(output.stderr).unwrap();
    assert!(errors.starts_with("error: bad.csv: line "), "{errors}");
}
