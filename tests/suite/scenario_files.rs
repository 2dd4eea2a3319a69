//! The shipped scenarios: they read, compile, say what they are for, and left mirrors right.

use std::path::PathBuf;

use lithodrome_labyrinth::{Ear, frame::mirror_point};
use lithodrome_rehearsal::{Compiled, Scenario, compile_file, read_scenario, write_scenario};

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../scenarios")
}

/// Names without `.ron`, sorted.
fn names() -> Vec<String> {
    let mut names: Vec<_> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_file())
        .map(|path| {
            assert_eq!(path.extension().unwrap(), "ron", "{}", path.display());
            path.file_stem().unwrap().to_str().unwrap().to_owned()
        })
        .collect();
    names.sort();
    names
}

fn path_of(name: &str) -> PathBuf {
    folder().join(format!("{name}.ron"))
}

fn scenario(name: &str) -> Scenario {
    read_scenario(&path_of(name)).unwrap()
}

fn compiled(name: &str) -> Compiled {
    compile_file(&path_of(name)).unwrap()
}

#[test]
fn all_compile_and_say_target_source_and_caution() {
    let names = names();
    assert!(names.len() >= 12, "{names:?}");
    for name in names {
        let scenario = compiled(&name).scenario;
        let kebab = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        assert!(name.chars().all(kebab), "{name}");
        let notes = scenario.notes.clone().unwrap_or_default();
        assert!(
            notes.starts_with("Target: ") || notes.starts_with("For teaching: "),
            "{name}"
        );
        assert!(notes.contains("Caution: "), "{name}");
        assert!(!scenario.debris.is_empty(), "{name}");
        assert!(scenario.steps.iter().all(|s| !s.name.is_empty()), "{name}");
    }
}

#[test]
fn titles_tell_them_apart() {
    let mut titles: Vec<_> = names().iter().map(|n| scenario(n).title).collect();
    let all = titles.len();
    titles.sort();
    titles.dedup();
    assert_eq!(titles.len(), all);
}

#[test]
fn writing_a_scenario_and_reading_it_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    for name in names() {
        let read = scenario(&name);
        let copy = folder.path().join("copy.ron");
        write_scenario(&read, &copy).unwrap();
        assert_eq!(read_scenario(&copy).unwrap(), read, "{name}");
    }
}

/// The left form of a manoeuvre has gravity mirrored in the head, at every moment: nothing else makes it
/// the same manoeuvre for the other ear.
#[test]
fn left_forms_mirror_the_right_ones() {
    // Rounding of angles.
    const SAME: f64 = 1e-12;
    let names = names();
    let mut pairs = 0;
    for right in names.iter().filter(|n| n.starts_with("right-")) {
        let left = right.replacen("right", "left", 1);
        // The roll test takes the right side first for both ears, as practice does.
        if !names.contains(&left) || right == "right-lateral-supine-roll" {
            continue;
        }
        pairs += 1;
        let (right, left) = (compiled(right), compiled(&left));
        assert_eq!(left.scenario.debris[0].ear, Ear::Left);
        assert_eq!(right.scenario.debris[0].ear, Ear::Right);
        assert_eq!(
            right.scenario.debris[0].canal,
            left.scenario.debris[0].canal
        );
        let duration_s = right.motion.duration_s();
        for i in 0..=1000 {
            let time_s = duration_s * f64::from(i) / 1000.0;
            let mirrored = mirror_point(right.motion.at(time_s).down_in_head);
            let off = (left.motion.at(time_s).down_in_head - mirrored).norm();
            assert!(off < SAME, "{}: {off} at {time_s} s", left.scenario.title);
        }
    }
    assert_eq!(pairs, 5);
}

/// Published gravity vectors (forward, left, up) of the holds, right ear.
#[test]
fn holds_have_the_published_gravity() {
    // The vectors are printed or computed with three decimals.
    const PRINTED: f64 = 6e-4;
    let upright = [0.0, 0.0, -1.0];
    let hallpike = [-0.612, -0.612, 0.500];
    let cases: [(&str, &[[f64; 3]]); 4] = [
        ("right-dix-hallpike", &[upright, hallpike, upright]),
        // Whole-body trial 2023, Front Neurol 14:1239959, figure 1.
        (
            "right-posterior-epley",
            &[
                upright,
                hallpike,
                [-0.612, 0.612, 0.500],
                [0.612, 0.612, 0.500],
                upright,
            ],
        ),
        // Straight head-hanging by 30°, then 45° above the horizontal: sines and cosines.
        (
            "right-anterior-deep-head-hanging",
            &[
                upright,
                [-0.866, 0.0, 0.500],
                [-0.707, 0.0, -0.707],
                upright,
            ],
        ),
        (
            "right-lateral-supine-roll",
            &[
                upright,
                [-0.866, 0.0, -0.500],
                [0.0, -1.0, 0.0],
                [-0.866, 0.0, -0.500],
                [0.0, 1.0, 0.0],
                [-0.866, 0.0, -0.500],
                upright,
            ],
        ),
    ];
    for (name, expected) in cases {
        let motion = compiled(name).motion;
        assert_eq!(motion.times().len(), expected.len(), "{name}");
        for (times, expected) in motion.times().iter().zip(expected) {
            let down = motion.at(times.hold_from_s).down_in_head;
            for (got, printed) in down.iter().zip(expected) {
                assert!(
                    (got - printed).abs() < PRINTED,
                    "{name}: {down:?} for {expected:?}"
                );
            }
        }
    }
}
