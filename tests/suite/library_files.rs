//! The library: published angles and gravity, mirror images, what every entry says, that all rehearse.

use std::path::Path;

use lithodrome_labyrinth::{Canal, CanalId, Ear, frame::head_from_reid};
use lithodrome_rehearsal::{
    DebrisReport, LibraryEntry, Mechanism, MoveEntry, Purpose, Scenario, SkullPlace, StepEntry,
    compile, library, library_entry, rehearse, scenario_from_ron, write_scenario,
};

fn entry(name: &str) -> LibraryEntry {
    library_entry(name).unwrap().unwrap()
}

/// The other side's name, if there is another side.
fn other_side(name: &str) -> Option<String> {
    let rest = name.strip_prefix("right-")?;
    Some(format!("left-{rest}"))
}

#[test]
fn every_entry_rehearses_without_a_warning() {
    for entry in library().unwrap() {
        let name = entry.name;
        let done = rehearse(&compile(&entry.scenario, Path::new("")).unwrap()).unwrap();
        assert!(done.report.warnings.is_empty(), "{name}");
        assert_eq!(done.report.steps.len(), entry.scenario.steps.len());
        // A case stands in it, and the case is one that it is for.
        for debris in &entry.scenario.debris {
            let id = CanalId {
                ear: debris.ear,
                canal: debris.canal,
            };
            assert!(entry.is_for(id), "{name}");
            let mechanism = Mechanism::ALL.into_iter().find(|m| m.at() == debris.at);
            assert!(
                entry.about.mechanisms.contains(&mechanism.unwrap()),
                "{name}"
            );
        }
    }
}

#[test]
fn what_is_written_of_an_entry_reads_back() {
    let folder = tempfile::tempdir().unwrap();
    for entry in library().unwrap() {
        let path = folder.path().join("copy.ron");
        write_scenario(&entry.scenario, &path).unwrap();
        let text = std::fs::read_to_string(&path).unwrap();
        assert_eq!(scenario_from_ron(&text, &path).unwrap(), entry.scenario);
    }
}

#[test]
fn every_treatment_names_its_cautions_and_no_text_tells_the_hands_of_a_clock() {
    let mut titles = Vec::new();
    for entry in library().unwrap() {
        let name = entry.name;
        if entry.about.kind == Purpose::Treatment {
            assert!(!entry.about.cautions.is_empty(), "{name}");
            // Only what passes upside down, or hangs the head, needs the caution of the eyes.
            let hangs = entry
                .scenario
                .angles_deg()
                .iter()
                .any(|[_, track_deg]| track_deg.to_radians().cos() < -1e-9);
            let turns_over = entry
                .scenario
                .angles_deg()
                .iter()
                .any(|a| a[1].abs() > 300.0);
            if hangs || turns_over {
                assert!(entry.has_words("eye pressure"), "{name}");
            }
        }
        assert!(!entry.text.to_lowercase().contains("clockwise"), "{name}");
        titles.push(entry.scenario.title);
    }
    let all = titles.len();
    titles.sort();
    titles.dedup();
    assert_eq!(titles.len(), all);
}

/// The exact mirror image: the other ear, yaw and track turned the other way.
fn mirrored(scenario: &Scenario) -> Scenario {
    let turn = |deg: f64| if deg == 0.0 { 0.0 } else { -deg };
    let mut other = scenario.clone();
    for entry in &mut other.debris {
        entry.ear = entry.ear.other();
    }
    for target in &mut other.about.as_mut().unwrap().targets {
        target.ear = target.ear.other();
    }
    other.chair.yaw_deg = turn(other.chair.yaw_deg);
    other.chair.track_deg = turn(other.chair.track_deg);
    for step in &mut other.steps {
        step.yaw_deg = step.yaw_deg.map(turn);
        step.track_deg = step.track_deg.map(turn);
        if let Some(MoveEntry::Vibration {
            at: SkullPlace::Mastoid(ear),
            ..
        }) = &mut step.movement
        {
            *ear = ear.other();
        }
    }
    other
}

/// Words are told apart by side; everything else of the left form is the right one's mirror image.
#[test]
fn left_forms_are_the_mirror_images_of_the_right_ones() {
    let wordless = |scenario: &Scenario| {
        let mut bare = scenario.clone();
        bare.title.clear();
        bare.notes = None;
        bare.steps.iter_mut().for_each(|s| s.name.clear());
        let about = bare.about.as_mut().unwrap();
        about.source.clear();
        about.repeats.clear();
        about.hold_rule.clear();
        about.cautions.clear();
        bare
    };
    let mut pairs = 0;
    for right in library().unwrap() {
        let Some(name) = other_side(right.name) else {
            continue;
        };
        pairs += 1;
        let left = entry(&name);
        assert_eq!(
            wordless(&mirrored(&right.scenario)),
            wordless(&left.scenario),
            "{name}"
        );
        // No side is left over from the right one's words.
        let count = |e: &LibraryEntry, word: &str| {
            let text = e.text.to_lowercase();
            text.split(|c: char| !c.is_alphabetic())
                .filter(|w| *w == word)
                .count()
        };
        assert_eq!(count(&right, "right"), count(&left, "left"), "{name}");
    }
    // 27 treatments, Dix-Hallpike, side-lying, supine roll and the battery.
    assert_eq!(pairs, 31);
    assert_eq!(library().unwrap().len(), 2 * pairs + 6);
}

/// Names of the library's right-side files and of the published manoeuvres' rows. Two are not here: of the half
/// somersault and the short repositioning the table's angles are from memory, and the files say what they do
/// otherwise.
const PUBLISHED: [(&str, &str); 21] = [
    ("right-posterior-epley-bedside", "epley"),
    ("right-posterior-epley-whole-body", "epley_whole_body_chair"),
    ("right-posterior-semont", "semont"),
    ("right-posterior-semont-20-beyond", "semont_20_beyond"),
    ("right-posterior-semont-60-beyond", "semont_60_beyond"),
    (
        "right-posterior-semont-whole-body",
        "semont_whole_body_chair",
    ),
    ("right-posterior-backward-turn", "somersault_backward_360"),
    (
        "right-posterior-backward-turn-in-steps",
        "somersault_backward_45deg_steps",
    ),
    ("right-posterior-brandt-daroff", "brandt_daroff"),
    ("right-lateral-roll-270", "barbecue_270"),
    ("right-lateral-roll-360", "barbecue_360"),
    ("right-lateral-gufoni-geotropic", "gufoni_geotropic"),
    (
        "right-lateral-gufoni-apogeotropic",
        "gufoni_apogeotropic_appiani",
    ),
    (
        "right-lateral-gufoni-apogeotropic-nose-down",
        "gufoni_apogeotropic_headdown",
    ),
    (
        "right-lateral-prolonged-healthy-side",
        "forced_prolonged_position_geo",
    ),
    (
        "right-lateral-prolonged-affected-side",
        "forced_prolonged_position_apo",
    ),
    (
        "right-lateral-cupula-repositioning",
        "cupulolith_repositioning_HC",
    ),
    (
        "right-anterior-deep-head-hanging",
        "yacovino_deep_head_hanging",
    ),
    ("right-anterior-head-hanging", "yacovino_modified"),
    ("right-posterior-demi-semont", "demi_semont_apo_PC"),
    ("right-lateral-head-shaking", "head_shaking"),
];

/// Rows of the table that the library does not follow.
const OTHERWISE: [&str; 2] = ["half_somersault", "short_crp_anterior"];

/// Manoeuvre, gravity in the head, yaw and track of one row of the published table for the right ear
/// (where its numbers are from stands beside the chair's test of the same table).
fn published() -> Vec<(&'static str, [f64; 3], [f64; 2])> {
    include_str!("../../crates/chair/tests/data/manoeuvre_angles.csv")
        .lines()
        .skip(1)
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            let n = |i: usize| cells[i].parse::<f64>().unwrap();
            (cells[0], [n(2), n(3), n(4)], [n(5), n(6)])
        })
        .collect()
}

/// Share of the way from `a` to `b` at which `at` lies, if it lies there within 0.01°.
fn on_the_way(a: [f64; 2], b: [f64; 2], at: [f64; 2]) -> Option<f64> {
    let way = [b[0] - a[0], b[1] - a[1]];
    let length2 = way[0] * way[0] + way[1] * way[1];
    let share = if length2 > 0.0 {
        (((at[0] - a[0]) * way[0] + (at[1] - a[1]) * way[1]) / length2).clamp(0.0, 1.0)
    } else {
        1.0
    };
    let off = [0, 1].map(|k| (a[k] + share * way[k] - at[k]).abs());
    (off[0] < 0.01 && off[1] < 0.01).then_some(share)
}

/// A step that goes nowhere but shakes or vibrates; a published row has it in its words.
fn only_shakes(step: &StepEntry) -> bool {
    let moved = step.yaw_deg.is_some() || step.track_deg.is_some();
    let shakes = matches!(
        step.movement,
        Some(MoveEntry::Shaking { .. } | MoveEntry::Vibration { .. })
    );
    shakes && !moved
}

/// Every published row is the end of a step, to 0.01°, in the published order; nothing but turns of the
/// upright chair, shaking and vibration comes between. The turn without a stop passes its rows on the way.
#[test]
fn every_published_manoeuvre_has_its_angles() {
    let rows = published();
    let followed = PUBLISHED.iter().map(|(_, rows)| *rows);
    let known: Vec<_> = followed.chain(OTHERWISE).collect();
    assert!(rows.iter().all(|(m, ..)| known.contains(m)));
    for (name, manoeuvre) in PUBLISHED {
        let scenario = entry(name).scenario;
        let without_stop = name == "right-posterior-backward-turn";
        let mut from = [scenario.chair.yaw_deg, scenario.chair.track_deg];
        let ends = scenario.angles_deg();
        let mut step = 0;
        for (_, _, at) in rows.iter().filter(|(m, ..)| *m == manoeuvre) {
            loop {
                let to = ends[step];
                let share = on_the_way(from, to, *at);
                if share.is_some_and(|s| without_stop || s > 0.9999) {
                    if share == Some(1.0) || !without_stop {
                        from = to;
                        step += 1;
                        while scenario.steps.get(step).is_some_and(only_shakes) {
                            step += 1;
                        }
                    }
                    break;
                }
                // A step that is not published: upright, or on the way there.
                assert!(to[1] == 0.0, "{name}: {to:?} before {at:?}");
                from = to;
                step += 1;
            }
        }
        assert!(step == ends.len(), "{name}: ends after step {step}");
    }
}

/// Gravity in the head at the end of every published row, by the compiled motion: to the printed digits.
#[test]
fn every_published_manoeuvre_has_its_gravity() {
    // Printed with three decimals.
    const PRINTED: f64 = 6e-4;
    let rows = published();
    for (name, manoeuvre) in PUBLISHED {
        let motion = compile(&entry(name).scenario, Path::new(""))
            .unwrap()
            .motion;
        let mut from_s = 0.0;
        for (_, down, _) in rows.iter().filter(|(m, ..)| *m == manoeuvre) {
            // The first moment from the last row's on at which gravity is there.
            let n = (motion.duration_s().min(1000.0) / 0.01) as u32;
            let at = (0..=n).map(|i| f64::from(i) * 0.01).find(|&t| {
                let here = motion.at(t).down_in_head;
                t >= from_s && (0..3).all(|k| (here[k] - down[k]).abs() < 0.01)
            });
            from_s = at.unwrap_or_else(|| panic!("{name} never has {down:?}"));
        }
        let times = motion.times().last().unwrap();
        let last = rows.iter().rfind(|(m, ..)| *m == manoeuvre).unwrap().1;
        let end = motion.at(times.end_s).down_in_head;
        assert!((0..3).all(|k| (end[k] - last[k]).abs() < PRINTED), "{name}");
    }
}

/// Turns in the direction that clears: each of the eight steps turns the head about the canal's axis,
/// the vertical canals in the exciting sense (posterior backward, anterior forward), the lateral one
/// in the inhibiting sense, toward the healthy ear (planes of Della Santina 2005,
/// with eight clumps of 50 µm).
#[test]
fn full_turns_in_steps_are_in_the_plane_and_direction_that_clear() {
    for (name, canal, sense, outcome) in [
        (
            "right-posterior-backward-turn-in-steps",
            Canal::Posterior,
            1.0,
            "a switch",
        ),
        (
            "right-anterior-forward-turn-in-steps",
            Canal::Anterior,
            1.0,
            "cleared",
        ),
        (
            "right-lateral-roll-in-steps",
            Canal::Lateral,
            -1.0,
            "cleared",
        ),
    ] {
        let mut scenario = entry(name).scenario;
        scenario.anatomy = "mean-adult".to_owned();
        for debris in &mut scenario.debris {
            (debris.count, debris.diameter_um) = (8, 50.0);
        }
        let compiled = compile(&scenario, Path::new("")).unwrap();
        let id = CanalId {
            ear: Ear::Right,
            canal,
        };
        let labyrinth = &compiled.labyrinth;
        let n_exc =
            head_from_reid(labyrinth.reid_pitch_nose_up_rad) * labyrinth.canal(id).n_exc_in_reid;
        let ends = compiled.scenario.angles_deg();
        for step in 1..=8 {
            let turn = [0, 1].map(|k| (ends[step][k] - ends[step - 1][k]).abs());
            assert!((turn[0] + turn[1] - 45.0).abs() < 1e-9, "{name}");
            let times = compiled.motion.times()[step];
            let middle = compiled
                .motion
                .at(0.5 * (times.start_s + times.hold_from_s));
            let axis = middle.angular_velocity_in_head_rad_s.normalize();
            // 16° of tilt at most remain with two axes, 20° with the nominal 45° of yaw.
            assert!(sense * axis.dot(&n_exc) > 0.93, "{name}: {axis:?}");
        }
        let report = rehearse(&compiled).unwrap().report;
        let outside = ["utricle", "short arm"];
        let out = |d: &DebrisReport| outside.iter().any(|part| d.end_region.contains(part));
        let found = match (report.debris.iter().all(out), report.switched_to.is_empty()) {
            (true, true) => "cleared",
            (_, false) => "a switch",
            (false, true) => "not cleared",
        };
        assert_eq!(found, outcome, "{name}");
    }
}
