//! Many runs: the same rows on any number of threads and in any parts, no run lost, cases that open as
//! scenarios.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::ops::ControlFlow;
use std::path::Path;
use std::sync::atomic::{AtomicU32, Ordering};

use lithodrome_rehearsal::{
    UprightDivides, compile_file, compile_in, nearest_miss, observe, rehearse, sitting_afterwards,
};
use lithodrome_study::{
    Counts, PartNumber, Row, RunEnd, Study, StudyError, StudyFile, compute, merge, report,
    run_part, write_case, write_csv, write_json, write_parquet,
};

fn study(n: u32, more: &str) -> Study {
    let text = format!(
        r#"(
            format: 1, title: "Study of a test", case: (ear: Right, canal: Posterior),
            n: {n}, seed: 5, {more}
        )"#
    );
    let file = StudyFile::from_ron(&text, Path::new("test.ron")).unwrap();
    file.resolve(Path::new("")).unwrap()
}

const EPLEY: &str = r#"sequences: ["right-posterior-epley-whole-body"]"#;
const BOTH: &str =
    r#"sequences: ["right-posterior-epley-whole-body", "right-posterior-semont-whole-body"]"#;

fn rows(study: &Study, threads: usize) -> Vec<Row> {
    let question = study.question().unwrap();
    let go_on = |_, _| ControlFlow::Continue(());
    compute(&question, 0..study.file.n, Some(threads), &go_on).unwrap()
}

/// Fewer than one ear in a hundred of the usual mixture cannot be built; in 2,000 it was 7 (see the README of the
/// labyrinth).
#[test]
fn hardly_any_ear_of_the_mixture_is_refused() {
    let question = study(1, EPLEY).question().unwrap();
    let of = &question.population;
    let refused: Vec<_> = (0..600)
        .filter_map(|index| of.labyrinth(&of.draw(index)).err())
        .collect();
    assert!(refused.len() <= 6, "{refused:?}");
}

#[test]
fn threads_and_parts_change_no_byte() {
    let study = study(70, BOTH);
    let one = rows(&study, 1);
    assert_eq!(one.len(), 140);
    assert_eq!(one, rows(&study, 2));
    let folder = tempfile::tempdir().unwrap();
    let parts = folder.path().join("parts");
    let go_on = |_, _| ControlFlow::Continue(());
    for part in [3, 1, 6, 2, 5, 4] {
        let number = PartNumber { part, of: 6 };
        let path = run_part(&study, number, &parts, Some(2), &go_on).unwrap();
        if part == 1 {
            // Killed in the middle of a line: it goes on from the last whole ear.
            let text = std::fs::read_to_string(&path).unwrap();
            std::fs::write(&path, &text[..text.len() - 150]).unwrap();
            assert!(merge(&parts).is_err());
            let fewest = AtomicU32::new(u32::MAX);
            let tell = |done, _| {
                fewest.fetch_min(done, Ordering::Relaxed);
                ControlFlow::Continue(())
            };
            run_part(&study, number, &parts, Some(1), &tell).unwrap();
            let least = fewest.into_inner();
            assert!(least >= 9, "goes on from {least} of 11 ears");
            assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
        }
    }
    let (told, merged) = merge(&parts).unwrap();
    assert_eq!((&told, &merged), (&study, &one));
    for ending in ["csv", "parquet", "json"] {
        let write = |study: &Study, rows: &[Row], name: &str| {
            let path = folder.path().join(format!("{name}.{ending}"));
            match ending {
                "csv" => write_csv(study, rows, &path).unwrap(),
                "parquet" => write_parquet(study, rows, &path).unwrap(),
                _ => write_json(&report(study, rows).unwrap(), &path).unwrap(),
            }
            std::fs::read(path).unwrap()
        };
        let bytes = write(&study, &one, "one");
        assert!(bytes == write(&told, &merged, "merged"), "{ending}");
        assert!(bytes.len() > 1000, "{ending}");
    }
    // What is missing or there twice is told.
    std::fs::remove_file(parts.join("part-00004-of-00006.rows")).unwrap();
    let missing = merge(&parts).unwrap_err().to_string();
    assert!(
        missing.contains("11 of 70 ears are missing, the first is ear 35"),
        "{missing}"
    );
    run_part(&study, PartNumber { part: 1, of: 1 }, &parts, None, &go_on).unwrap();
    let twice = merge(&parts).unwrap_err().to_string();
    assert!(twice.contains("ear 0 is there twice"), "{twice}");
}

#[test]
fn a_part_of_another_study_is_not_gone_on_with() {
    let folder = tempfile::tempdir().unwrap();
    let number = PartNumber { part: 1, of: 1 };
    let go_on = |_, _| ControlFlow::Continue(());
    run_part(&study(4, EPLEY), number, folder.path(), None, &go_on).unwrap();
    let other = run_part(&study(5, EPLEY), number, folder.path(), None, &go_on);
    let message = other.unwrap_err().to_string();
    assert!(message.contains("another study"), "{message}");
}

#[test]
fn a_study_can_be_broken_off() {
    let study = study(200, EPLEY);
    let question = study.question().unwrap();
    let broken = compute(&question, 0..200, Some(1), &|_, _| ControlFlow::Break(()));
    assert!(matches!(
        broken,
        Err(StudyError::Cancelled { done: 32, of: 200 })
    ));
}

#[test]
fn a_run_that_fails_is_a_row_and_no_success() {
    // Wider than any duct: 0.32 mm but for the calibre.
    let mut study = study(8, EPLEY);
    study.mixture = study.mixture.sized(110.0, 110.0);
    study.mixture.debris.diameter_um.value = lithodrome_study::Spread::Fixed(900.0);
    let rows = rows(&study, 2);
    let counts = Counts::of(&rows);
    assert_eq!((counts.failed, counts.cleared, counts.n()), (8, 0, 8));
    let found = report(&study, &rows).unwrap();
    assert!(found.sequences[0].errors[0].error.contains("diameter_um"));
    assert!((found.shares.failed - 1.0).abs() < 1e-12 && found.cleared_low < 1e-12);
}

#[test]
fn any_case_opens_as_a_scenario_and_ends_the_same() {
    for judging in ["AfterSitting", "ControlIfBehind", "WithControl"] {
        let study = study(12, &format!("judging: {judging}, {BOTH}"));
        let rows = rows(&study, 2);
        let question = study.question().unwrap();
        let folder = tempfile::tempdir().unwrap();
        // One that did not clear if there is one, and the first.
        let bad = rows.iter().find(|row| !row.is_cleared() && row.end.is_ok());
        for row in bad.into_iter().chain(&rows[..2]) {
            let sequence = row.sequence as usize;
            let path = write_case(&question, sequence, row.index, folder.path()).unwrap();
            let compiled = compile_file(&path).unwrap();
            let end = row.end.as_ref().unwrap();
            if judging == "WithControl" {
                let report = rehearse(&compiled).unwrap().report;
                assert_eq!(RunEnd::from(report.verdict), end.word, "ear {}", row.index);
                assert_eq!(report.cleared, row.is_cleared());
                continue;
            }
            let sat = sitting_afterwards(&compiled.scenario);
            let compiled = compile_in(&sat, compiled.labyrinth).unwrap();
            let go_on = &mut |_| ControlFlow::Continue(());
            let run = observe(&compiled, go_on).unwrap().run;
            let place = *run.tracks[0].place.last().unwrap();
            assert_eq!(place.region, end.region);
            // The lanes end within 0.05 µm of where the window's engine ends, and leave within a tenth
            // of a second.
            assert!(
                (place.arc_mm - end.arc_mm).abs() < 1e-3,
                "{place:?} {end:?}"
            );
            if let (Some(a), Some(b)) = (run.tracks[0].exit_s, end.exit_s) {
                assert!((a - b).abs() < 0.1, "{a} {b}");
            }
            let labyrinth = &compiled.labyrinth;
            let divides = UprightDivides::of(labyrinth);
            let miss = nearest_miss(labyrinth, &divides, &run, run.duration_s);
            assert_eq!(miss.map(|m| m.mm), end.nearest_miss_mm);
        }
    }
}

#[test]
fn a_sweep_is_more_sequences_in_the_same_ears() {
    let study = study(
        24,
        r#"sequences: ["right-posterior-epley-whole-body"], wanted: 0.5, sweep: [
            (vary: DiameterUm, values: [25.0, 50.0]),
            (vary: HoldS(steps: [2, 3, 4]), values: [2.0, 10.0, 30.0]),
        ]"#,
    );
    let rows = rows(&study, 2);
    let found = report(&study, &rows).unwrap();
    let sweep = found.sweep.unwrap();
    assert_eq!(sweep.axes, ["diameter_um", "hold_s"]);
    assert_eq!(sweep.cleared.len(), 6);
    // Holds of 2 s are too short for anyone.
    let shares: Vec<f64> = sweep.cleared.iter().map(|s| s.share).collect();
    assert!(shares[0] < 0.1 && shares[3] < 0.1, "{shares:?}");
    // 30 s at the slowest speed of rolling: larger debris needs less rest.
    assert!(shares[5] > shares[1], "{shares:?}");
    assert!(found.shares.cleared > 0.0);
}

#[test]
fn words_are_in_the_order_of_harm() {
    let mut sorted = RunEnd::ALL;
    sorted.sort();
    assert_eq!(sorted, RunEnd::ALL);
}
