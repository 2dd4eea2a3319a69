//! What the shipped manoeuvres do, each expectation with its source.

use std::path::PathBuf;

use approx::assert_abs_diff_eq;
use lithodrome_debris::{CupulaFace, Engine};
use lithodrome_labyrinth::{Canal, Ear};
use lithodrome_rehearsal::{
    At, DebrisEntry, Rehearsed, Report, Scenario, StepEntry, compile, compile_file, read_scenario,
    rehearse,
};

fn shipped(name: &str) -> Scenario {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    read_scenario(&folder.join(format!("{name}.ron"))).unwrap()
}

fn run(scenario: &Scenario) -> Rehearsed {
    rehearse(&compile(scenario, &PathBuf::new()).unwrap()).unwrap()
}

fn report(name: &str) -> Report {
    run(&shipped(name)).report
}

/// The exact mirror image: the other ear, yaw and track turned the other way.
fn mirrored(scenario: &Scenario) -> Scenario {
    let mut other = scenario.clone();
    for entry in &mut other.debris {
        entry.ear = entry.ear.other();
    }
    other.chair.yaw_deg = -other.chair.yaw_deg;
    other.chair.track_deg = -other.chair.track_deg;
    for step in &mut other.steps {
        step.yaw_deg = step.yaw_deg.map(|x| -x);
        step.track_deg = step.track_deg.map(|x| -x);
    }
    other
}

#[test]
fn right_dix_hallpike_beats_up_and_to_the_right_ear() {
    // Balatsouras 2011, Int J Otolaryngol 483965, Table 1: posterior canalithiasis of the right ear.
    let report = report("right-dix-hallpike");
    let seen = &report.steps[1].nystagmus;
    assert_eq!(
        (seen.vertical, seen.torsion, seen.horizontal),
        ("up", "right", "none")
    );
    // Geotropic is said of horizontal beats.
    assert_eq!(seen.sense, "none");
    // It ends within a minute (criteria of the Bárány Society 2015, from memory).
    assert!(seen.duration_s < 60.0 && !seen.seen_at_end, "{seen:?}");
    // Reversal on sitting up in 88 % (Ling 2021, J Clin Neurol 17:558).
    let up = &report.steps[2].nystagmus;
    assert_eq!((up.vertical, up.torsion), ("down", "left"));
}

#[test]
fn left_dix_hallpike_mirrors_it() {
    let report = report("left-dix-hallpike");
    let seen = &report.steps[1].nystagmus;
    assert_eq!(
        (seen.vertical, seen.torsion, seen.horizontal),
        ("up", "left", "none")
    );
}

#[test]
fn the_epley_clears_its_own_side_only() {
    // Whole-body Epley: Front Neurol 2023;14:1239959, Fig 1.
    for name in ["right-posterior-epley", "left-posterior-epley"] {
        let report = report(name);
        assert!(report.all_out(), "{name}");
        for body in &report.debris {
            assert_eq!(body.end_region, "utricle", "{name}");
            assert!(body.exit_s.is_some_and(|t| t < report.duration_s));
        }
    }
    let wrong = report("right-posterior-epley-wrong-side");
    assert!(!wrong.all_out());
    assert!(
        wrong
            .debris
            .iter()
            .all(|b| b.end_region == "posterior duct")
    );
}

#[test]
fn the_full_turn_clears_backward_and_not_forward() {
    // A full backward turn in the canal's plane succeeds (Front Neurol 2023;14:1239959); that the
    // forward one does not follows from the direction of the duct (from memory).
    assert!(report("right-posterior-backward-turn").all_out());
    assert!(report("left-posterior-backward-turn").all_out());
    assert!(!report("right-posterior-forward-turn").all_out());
}

#[test]
fn the_published_backward_turn_clears() {
    // 90 degrees, 30 s, then 270 degrees in about 30 s (Front Neurol 2023;14:1239959, Fig 1).
    let mut scenario = shipped("right-posterior-backward-turn");
    let step = |track_deg: f64, move_s: f64, hold_s: f64| StepEntry {
        name: format!("{track_deg}"),
        yaw_deg: Some(45.0),
        track_deg: Some(track_deg),
        move_s,
        hold_s,
        ..StepEntry::default()
    };
    scenario.steps = vec![
        step(0.0, 3.0, 5.0),
        step(90.0, 3.0, 30.0),
        step(360.0, 30.0, 20.0),
    ];
    assert!(run(&scenario).report.all_out());
}

#[test]
fn head_hanging_clears_the_anterior_canal_without_the_chin_to_the_chest() {
    // Bhandari 2021, Front Neurol 12:740599: the form with the chin to the chest is apt to run debris
    // into the posterior canal, the one straight to sitting is not.
    for side in ["right", "left"] {
        let report = report(&format!("{side}-anterior-head-hanging"));
        let hanging = &report.steps[1].nystagmus;
        assert_eq!(
            (hanging.vertical, hanging.torsion),
            ("down", side),
            "Balatsouras 2011, Table 1"
        );
        assert!(report.all_out(), "{side}");
    }
    let deep = report("right-anterior-deep-head-hanging");
    assert_eq!(deep.switched_to, ["right posterior"]);
}

#[test]
fn the_roll_test_beats_to_the_ground_and_more_on_the_bad_side() {
    // Balatsouras 2011, Table 1; Lechner 2014, J Neurol 261:1009: stronger with the bad ear down.
    for (name, bad) in [
        ("right-lateral-supine-roll", "right"),
        ("left-lateral-supine-roll", "left"),
    ] {
        let report = report(name);
        let down = |side: &str| {
            let y = if side == "right" { -1.0 } else { 1.0 };
            let step = report
                .steps
                .iter()
                .find(|s| (s.down_in_head[1] - y).abs() < 0.01);
            step.unwrap().nystagmus.clone()
        };
        let good = if bad == "right" { "left" } else { "right" };
        for side in [bad, good] {
            let seen = down(side);
            assert_eq!(
                (seen.horizontal, seen.sense),
                (side, "geotropic"),
                "{name}, {side} ear down"
            );
            assert_eq!(
                (seen.vertical, seen.torsion),
                ("none", "none"),
                "{name}, {side} ear down"
            );
        }
        assert!(
            down(bad).peak_spv_deg_s > down(good).peak_spv_deg_s,
            "{name}"
        );
    }
}

#[test]
fn every_scenario_has_its_exact_mirror_image() {
    for name in [
        "right-dix-hallpike",
        "right-posterior-epley",
        "right-posterior-epley-wrong-side",
        "right-posterior-backward-turn",
        "right-lateral-supine-roll",
        "right-anterior-head-hanging",
    ] {
        let scenario = shipped(name);
        let (right, left) = (run(&scenario).report, run(&mirrored(&scenario)).report);
        for (r, l) in right.debris.iter().zip(&left.debris) {
            assert_eq!((r.ear, l.ear), ("right", "left"));
            assert_eq!(r.end_region, l.end_region, "{name}");
            assert_abs_diff_eq!(r.end_arc_mm, l.end_arc_mm, epsilon = 1e-9);
            let (r, l) = (r.exit_s.unwrap_or(-1.0), l.exit_s.unwrap_or(-1.0));
            assert_abs_diff_eq!(r, l, epsilon = 1e-9);
        }
        for (r, l) in right.steps.iter().zip(&left.steps) {
            let swap = |side| match side {
                "right" => "left",
                "left" => "right",
                other => other,
            };
            let (r, l) = (&r.nystagmus, &l.nystagmus);
            assert_eq!(r.vertical, l.vertical, "{name}");
            assert_eq!(
                (r.torsion, r.horizontal),
                (swap(l.torsion), swap(l.horizontal)),
                "{name}"
            );
            assert_eq!(r.sense, l.sense, "{name}");
            assert_abs_diff_eq!(r.peak_spv_deg_s, l.peak_spv_deg_s, epsilon = 1e-9);
            assert_abs_diff_eq!(r.latency_s, l.latency_s, epsilon = 1e-9);
            assert_abs_diff_eq!(r.duration_s, l.duration_s, epsilon = 1e-9);
        }
    }
}

#[test]
fn a_loaded_cupula_answers_at_once_and_goes_on() {
    // Posterior cupulolithiasis: Dix-Hallpike upbeat with the upper pole to the bad ear, at once,
    // longer than a minute, the same for debris on either face (Imai 2015, BMJ Open;
    // Clin Neurophysiol Pract 2019;4:97). Lateral: apogeotropic, weaker on the bad side (Lechner 2014).
    let on_cupula =
        |canal, side| DebrisEntry::new(Ear::Right, canal, At::OnCupula { side }, 12, 50.0);
    let mut posterior = shipped("right-dix-hallpike");
    posterior.steps[1].hold_s = 90.0;
    let mut words = Vec::new();
    for side in [CupulaFace::Canal, CupulaFace::Utricle] {
        posterior.debris = vec![on_cupula(Canal::Posterior, side)];
        let seen = run(&posterior).report.steps[1].nystagmus.clone();
        assert_eq!((seen.vertical, seen.torsion), ("up", "right"), "{side:?}");
        assert!(
            seen.latency_s < 1.0 && seen.duration_s > 60.0,
            "{side:?}: {seen:?}"
        );
        words.push((seen.vertical, seen.torsion, seen.horizontal));
    }
    assert_eq!(words[0], words[1]);
    let mut lateral = shipped("right-lateral-supine-roll");
    lateral.debris = vec![on_cupula(Canal::Lateral, CupulaFace::Canal)];
    let report = run(&lateral).report;
    let down = |y: f64| {
        let step = report
            .steps
            .iter()
            .find(|s| (s.down_in_head[1] - y).abs() < 0.01);
        step.unwrap().nystagmus.clone()
    };
    let (bad, good) = (down(-1.0), down(1.0));
    assert_eq!((bad.horizontal, good.horizontal), ("left", "right"));
    assert_eq!((bad.sense, good.sense), ("apogeotropic", "apogeotropic"));
    assert!(bad.peak_spv_deg_s < good.peak_spv_deg_s);
}

#[test]
fn the_same_file_gives_the_same_run() {
    let scenario = shipped("right-posterior-epley");
    // As text: a place that is not on the course is not a number, which equals nothing.
    let text = |rehearsed: Rehearsed| format!("{:?}", rehearsed.run);
    assert!(text(run(&scenario)) == text(run(&scenario)));
}

#[test]
fn nothing_leaves_the_lumen_in_any_scenario() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            continue;
        }
        let compiled = compile_file(&path).unwrap();
        let bodies = compiled.model.bodies.len();
        let done = rehearse(&compiled).unwrap();
        // A neck that does not reach is the patient's, not the run's.
        let mut warnings = done.report.warnings.clone();
        warnings.retain(|w| compiled.shortfalls.iter().all(|s| s.to_string() != *w));
        assert!(warnings.is_empty(), "{}: {warnings:?}", path.display());
        assert_eq!(done.run.tracks.len(), bodies);
        assert!(
            done.run
                .tracks
                .iter()
                .all(|t| t.place.len() == done.run.time_s.len())
        );
    }
}

#[test]
fn both_engines_end_in_the_same_region() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            continue;
        }
        let name = path.display();
        let mut scenario = read_scenario(&path).unwrap();
        let settling = run(&scenario).report;
        scenario.engine = Some(Engine::Rigid);
        let rigid = run(&scenario).report;
        assert_eq!(settling.all_out(), rigid.all_out(), "{name}");
        for (s, r) in settling.debris.iter().zip(&rigid.debris) {
            assert_eq!(s.end_region, r.end_region, "{name}");
        }
        for (s, r) in settling.steps.iter().zip(&rigid.steps) {
            let (s, r) = (&s.nystagmus, &r.nystagmus);
            if s.peak_spv_deg_s > 10.0 {
                assert_eq!((s.vertical, s.torsion), (r.vertical, r.torsion), "{name}");
            }
        }
    }
}
