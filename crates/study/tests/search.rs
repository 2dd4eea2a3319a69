//! Sequence search: the same whatever the threads, as good as a textbook manoeuvre under loose limits, honest
//! where there is nothing, and plain about bad files.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::ops::ControlFlow;
use std::path::Path;
use std::sync::Mutex;

use lithodrome_rehearsal::{all_breaches, compile, read_scenario, write_scenario};
use lithodrome_study::{
    Search, SearchFile, SearchLimits, SearchStage, SearchTables, Searched, StudyError, search,
    search_in,
};

fn asked(more: &str) -> Search {
    let text = format!("(format: 1, title: \"Search of a test\", seed: 3, {more})");
    let file = SearchFile::from_ron(&text, Path::new("test.ron")).unwrap();
    file.resolve(Path::new("")).unwrap()
}

fn found(search_of: &Search, threads: usize) -> Searched {
    search(search_of, Some(threads), &|_, _, _| {
        ControlFlow::Continue(())
    })
    .unwrap()
}

/// Few ears, so that a test does not wait long; what is asserted is paired.
const FEW: &str = "ears: (tables: 32, planning: 96, check: 192)";

#[test]
fn under_loose_limits_it_does_as_well_as_a_textbook_manoeuvre() {
    for (case, beside, limits) in [
        (
            "Canal(ear: Right, canal: Posterior)",
            "right-posterior-epley-whole-body",
            "head_down_deg: 60.0, most_holds: 4",
        ),
        (
            "Canal(ear: Left, canal: Lateral)",
            "left-lateral-roll-360",
            "head_down_deg: 30.0, most_holds: 4",
        ),
        (
            "Canal(ear: Right, canal: Anterior)",
            "right-anterior-forward-turn-in-steps",
            "head_down_deg: 90.0, most_holds: 4",
        ),
    ] {
        let asked = asked(&format!(
            "case: {case}, beside: \"{beside}\", limits: ({limits}), {FEW}"
        ));
        let Searched {
            report,
            found,
            courses,
        } = found(&asked, 2);
        println!("{}", report.why);
        let beside = report.beside.unwrap();
        assert!(beside.high >= 0.0, "{case}: {}", beside.words);
        // It is a scenario like any other, within its limits.
        let scenario = found.unwrap();
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("found.ron");
        write_scenario(&scenario, &path).unwrap();
        assert_eq!(read_scenario(&path).unwrap(), scenario);
        let compiled = compile(&scenario, Path::new("")).unwrap();
        assert!(all_breaches(&scenario, &compiled.motion).is_empty());
        assert_eq!(report.sequence.len() + 2, scenario.steps.len());
        // It is drawn beside the textbook one: both begin on the way and not at its end.
        assert_eq!(courses.len(), 2);
        for course in &courses {
            assert_eq!(course.time_s.len(), course.way.len());
            assert_eq!(course.time_s.len(), course.down_in_head.len());
            let begins = course.way[0].unwrap();
            assert!(begins < 0.9, "{begins}");
        }
        assert!(courses[0].time_s.len() > 100, "{case}");
        // Every hold says what it is for.
        for hold in &report.sequence {
            assert!(
                hold.reason.words.contains("Without it"),
                "{}",
                hold.reason.words
            );
        }
    }
}

#[test]
fn threads_change_no_byte() {
    let asked = asked(
        "case: Canal(ear: Right, canal: Lateral), limits: (most_holds: 2), grid_deg: 30.0, holds_s: [30.0, 60.0],
         ears: (tables: 12, planning: 40, check: 40)",
    );
    let one = found(&asked, 1);
    assert_eq!(one, found(&asked, 2));
    assert!(one.report.found);
    let other = Search {
        file: SearchFile {
            seed: 5,
            ..asked.file.clone()
        },
        ..asked
    };
    assert_ne!(
        one.report.share.to_bits(),
        found(&other, 2).report.share.to_bits()
    );
}

#[test]
fn where_there_is_none_it_says_so_and_why() {
    // 60° above the horizontal the posterior canal's apex cannot be passed in one hold.
    let asked = asked(&format!(
        "case: Canal(ear: Right, canal: Posterior), limits: (head_down_deg: -60.0, most_holds: 1), {FEW}"
    ));
    let Searched { report, found, .. } = found(&asked, 2);
    assert!(found.is_none() && !report.found && report.sequence.is_empty());
    for part in [
        "15° grid",
        "holds of 30 s",
        "at most 1 hold",
        "60° above the horizontal",
        "posterior duct",
        "mm from the cupula",
    ] {
        assert!(report.why.contains(part), "{part}: {}", report.why);
    }
    println!("{}", report.why);
}

#[test]
fn an_ear_of_unknown_canal_and_both_ears_are_searched() {
    let few = "grid_deg: 30.0, wanted: 0.0, ears: (tables: 8, planning: 16, check: 16)";
    let unknown = found(&asked(&format!("case: ThisEar(Right), {few}")), 2);
    let report = unknown.report;
    assert_eq!(report.canal, "right ear, canal unknown");
    let canals: Vec<&str> = report.by_canal.iter().map(|c| c.canal.as_str()).collect();
    assert_eq!(
        canals,
        [
            "right anterior canal",
            "right lateral canal",
            "right posterior canal"
        ]
    );
    let mean = report.by_canal.iter().map(|c| c.share).sum::<f64>() / 3.0;
    assert!((mean - report.share).abs() < 1e-9);
    let both = found(&asked(&format!("case: BothEars(Lateral), {few}")), 2);
    assert_eq!(both.report.canal, "lateral canals of both ears");
    assert_eq!(both.found.unwrap().debris.len(), 2);
}

#[test]
fn it_tells_its_stages_and_can_be_given_up() {
    let asked = asked(
        "case: Canal(ear: Right, canal: Lateral), limits: (most_holds: 1), grid_deg: 45.0, wanted: 0.0,
         ears: (tables: 8, planning: 16, check: 16)",
    );
    let stages = Mutex::new(Vec::new());
    let hear = |stage, done: u32, of: u32| {
        assert!(done <= of, "{stage:?} {done} of {of}");
        let mut stages = stages.lock().unwrap();
        if stages.last() != Some(&stage) {
            stages.push(stage);
        }
        ControlFlow::Continue(())
    };
    search(&asked, Some(1), &hear).unwrap();
    assert_eq!(stages.into_inner().unwrap(), SearchStage::ALL);
    for at in SearchStage::ALL {
        let give_up = |stage, _, _| {
            if stage == at {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        };
        let done = search(&asked, Some(1), &give_up);
        // The last part of a stage may be done already when it is heard of.
        let given_up = matches!(done, Err(StudyError::Cancelled { .. }));
        assert!(given_up || done.is_ok(), "{at:?}: {done:?}");
        assert!(given_up || at != SearchStage::Tables, "{at:?}");
    }
}

#[test]
fn other_limits_are_answered_from_the_same_tables() {
    let go_on = |_, _, _| ControlFlow::Continue(());
    let asked = asked(
        "case: Canal(ear: Right, canal: Posterior), grid_deg: 30.0, ears: (tables: 24, planning: 16, check: 16)",
    );
    let tables = SearchTables::new(&asked, Some(2), &go_on).unwrap();
    let share = |head_down_deg| {
        let limits = SearchLimits {
            head_down_deg,
            ..SearchLimits::default()
        };
        tables.coarse(&limits).map_or(0.0, |answer| answer.share)
    };
    // What is allowed more does not do worse; sitting nearly upright does next to nothing.
    let shares = [-60.0, -30.0, 30.0, 60.0].map(share);
    assert!(shares[0] < 0.3 && shares[3] > 0.5, "{shares:?}");
    assert!(
        shares[0] <= shares[2] && shares[1] <= shares[3],
        "{shares:?}"
    );
    let whole = search_in(&tables, &asked, Some(2), &go_on).unwrap();
    assert_eq!(whole, found(&asked, 1));
}

fn message(fields: &str) -> String {
    let text = format!("(format: 1, title: \"T\", {fields})");
    let read = SearchFile::from_ron(&text, Path::new("s.ron"));
    match read.and_then(|file| file.resolve(Path::new("nowhere"))) {
        Ok(_) => "nothing".to_owned(),
        Err(error) => error.to_string(),
    }
}

#[test]
fn what_is_wrong_with_a_search_is_told_with_its_place() {
    let case = "case: Canal(ear: Left, canal: Lateral)";
    for (fields, start) in [
        (
            "limits: (head_down_deg: 95.0)",
            "s.ron: limits.head_down_deg: found 95, allowed is -89 to 90",
        ),
        (
            "limits: (most_holds: 0)",
            "s.ron: limits.most_holds: found 0, allowed is 1 to 8",
        ),
        ("limits: (yaw_deg_s: nan)", "s.ron:1:"),
        (
            "limits: (track_deg_s: NaN)",
            "s.ron: limits.track_deg_s: found NaN, allowed is 1 to 120",
        ),
        ("limits: (neck_deg: 1.0)", "s.ron:1:"),
        ("grid: 15.0", "s.ron:1:"),
        (
            "grid_deg: 7.0",
            "s.ron: grid_deg: found 7, allowed is 5 to 45 degrees, a whole part of 180",
        ),
        ("grid_deg: 0.0", "s.ron: grid_deg: found 0"),
        (
            "holds_s: []",
            "s.ron: holds_s: found 0, allowed is 1 to 4 times",
        ),
        (
            "holds_s: [0.0]",
            "s.ron: holds_s: found 0, allowed is 1 to 600 s",
        ),
        (
            "ears: (tables: 4)",
            "s.ron: ears.tables: found 4, allowed is 8 to 1024 ears",
        ),
        (
            "ears: (check: 0)",
            "s.ron: ears.check: found 0, allowed is 16 to 20000 ears",
        ),
        ("wanted: 1.5", "s.ron: wanted: found 1.5, allowed is 0 to 1"),
        (
            "places: [ShortArm]",
            "s.ron: places: found ShortArm, allowed is AmpullaryArm, NonAmpullaryArm",
        ),
        (
            "diameter_um: (60.0, 50.0)",
            "s.ron: diameter_um: found (60, 50), allowed is two diameters",
        ),
        ("beside: \"none.ron\"", "nowhere/none.ron: cannot be read"),
        ("mixture: \"none.ron\"", "nowhere/none.ron: cannot be read"),
    ] {
        let message = message(&format!("{case}, {fields}"));
        assert!(message.starts_with(start), "{fields}: {message}");
    }
    assert!(message("case: Canal(ear: Left)").starts_with("s.ron:1:"));
    let ahead = SearchFile::from_ron(
        &format!("(format: 2, title: \"T\", {case})"),
        Path::new("s.ron"),
    );
    let ahead = ahead.unwrap_err().to_string();
    assert_eq!(ahead, "s.ron: format: found 2, allowed is 1");
    assert_eq!(message(case), "nothing");
}

#[test]
fn the_shipped_search_can_be_read() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/searches");
    let mut read = 0;
    for file in std::fs::read_dir(&folder).unwrap() {
        SearchFile::read(&file.unwrap().path())
            .unwrap()
            .resolve(&folder)
            .unwrap();
        read += 1;
    }
    assert!(read > 0);
}
