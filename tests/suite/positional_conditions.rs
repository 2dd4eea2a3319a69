//! What the findings that fail in the mean ear hinge on: planes of the canals, a start place that holds,
//! a memory of the eyes; and the light cupula, fatigue.

use std::path::Path;
use std::sync::Arc;

use lithodrome_labyrinth::{Canal, CanalId, Ear, Labyrinth};
use lithodrome_nystagmus::{Reflex, eyes_of, judge};
use lithodrome_rehearsal::{
    AdhesionEntry, At, Case, CupulaEntry, DebrisEntry, DispersalEntry, Mechanism, Scenario,
    StepReport, compile_in, expected, library_entry, load_anatomy, rehearse,
};

use crate::positional_findings::{ASKED_FOR_TORSION, Row, WATCHED_S, differences, rows, words};

fn labyrinth(anatomy: &str) -> Arc<Labyrinth> {
    let anatomy = load_anatomy(anatomy, Path::new("")).unwrap();
    Arc::new(Labyrinth::build(&anatomy).unwrap())
}

fn row(number: u32) -> Row {
    rows().into_iter().find(|r| r.number == number).unwrap()
}

/// The row's test, its judged step watched for as long as in `positional_findings`.
fn test_of(row: &Row) -> Scenario {
    let mut test = library_entry(&row.entry).unwrap().unwrap().scenario;
    test.steps[row.step].hold_s = WATCHED_S;
    test.eyes = Some(ASKED_FOR_TORSION);
    test
}

fn steps_of(labyrinth: &Arc<Labyrinth>, scenario: &Scenario) -> Vec<StepReport> {
    let compiled = compile_in(scenario, Arc::clone(labyrinth)).unwrap();
    rehearse(&compiled).unwrap().report.steps
}

fn right(canal: Canal) -> CanalId {
    CanalId {
        ear: Ear::Right,
        canal,
    }
}

/// Rows 18, 19 and 20 fail in the planes of Della Santina 2005 and come out in those of Blanks 1975;
/// with Wu 2021 the strong ones do (19, 20) and row 18 turns to the published side, but stays below 3
/// deg/s. For rows 18 to 20 it is the sideways tilt of the lateral canal, published −2.2° (± 5.7°), +9.1° and
/// +1.4°: it decides on which side of the resting place of sitting the one of lying down is, and on which
/// side of the hill the debris stands when bent forward. So these three are findings of most, not of
/// all ears. Row 2 comes out in neither: judged on the length of the vector, 3.7 deg/s are seen in Blanks 1975.
#[test]
fn rows_that_hinge_on_the_plane_of_a_canal_come_out_in_other_published_planes() {
    for (anatomy, numbers) in [
        ("blanks-1975", [18, 19, 20].as_slice()),
        ("wu-2021", &[19, 20]),
    ] {
        let labyrinth = labyrinth(anatomy);
        for &number in numbers {
            let row = row(number);
            let case = Case::new(row.canal, row.mechanisms[0]);
            let steps = expected(&labyrinth, &case, &test_of(&row)).unwrap();
            let seen = &steps[row.step].nystagmus;
            println!("{anatomy} row {number}: {}", words(seen));
            assert!(differences(&row, seen).is_empty(), "{anatomy} row {number}");
        }
    }
    let row = row(18);
    let case = Case::new(row.canal, row.mechanisms[0]);
    let steps = expected(&labyrinth("wu-2021"), &case, &test_of(&row)).unwrap();
    let horizontal = steps[row.step].nystagmus.peak_components_deg_s.horizontal;
    assert!((-3.0..-1.0).contains(&horizontal), "{horizontal}");
}

/// Rows 8 and 9, the far arm of the posterior canal: Vannucchi 2012 puts the debris into its last part,
/// near the common crus. Free debris slides from there while the patient sits; debris that the wall holds
/// with half its weight or more (assumed, no measured hold was found) stays until he lies back, and then
/// both rows come out, direction, latency and duration, from 11.5 to 13 mm of the canal's 13.8.
#[test]
fn debris_held_near_the_common_crus_beats_as_published_for_the_far_arm() {
    let labyrinth = labyrinth("mean-adult");
    for number in [8, 9] {
        let row = row(number);
        for (mm, wall_g) in [(11.5, 0.5), (12.5, 0.5), (12.5, 1.0), (13.0, 0.7)] {
            let mut test = test_of(&row);
            test.debris = vec![DebrisEntry {
                adhesion: Some(AdhesionEntry {
                    wall_g,
                    ..AdhesionEntry::default()
                }),
                ..DebrisEntry::new(Ear::Right, Canal::Posterior, At::Arc { mm }, 8, 50.0)
            }];
            let seen = &steps_of(&labyrinth, &test)[row.step].nystagmus;
            println!("row {number} from {mm} mm, {wall_g} g: {}", words(seen));
            assert!(differences(&row, seen).is_empty(), "{number} {mm} {wall_g}");
        }
    }
}

/// Rows 10 and 11: debris of the short arm lies at the rim of its cupula while the patient sits, where crista
/// and wall bear it: a Dix-Hallpike after two minutes of sitting shows nothing, which Büki 2014 (Otol
/// Neurotol 35:323) has beside a slow downbeat, and sitting up beats as published while the debris crosses the
/// face. With the load axis of debris that is fixed to the cupula or the normal of its face alike.
#[test]
fn short_arm_debris_at_the_rim_of_its_cupula_beats_as_published() {
    let mut anatomy = load_anatomy("mean-adult", Path::new("")).unwrap();
    let built = Labyrinth::build(&anatomy).unwrap();
    let cupula = &built.ear(Ear::Left).canal(Canal::Posterior).cupula;
    anatomy.posterior.cupula_load_axis.value = cupula.to_duct_in_reid.into();
    let on_the_normal = Labyrinth::build(&anatomy).unwrap();
    for labyrinth in [built, on_the_normal].map(Arc::new) {
        let (lain, sat) = (row(10), row(11));
        let case = Case::new(lain.canal, lain.mechanisms[0]);
        let mut test = test_of(&lain);
        test.steps[0].hold_s = 120.0;
        let steps = expected(&labyrinth, &case, &test).unwrap();
        let [lain, seated] = [&lain, &sat].map(|row| &steps[row.step].nystagmus);
        println!("row 10: {}\nrow 11: {}", words(lain), words(seated));
        assert_eq!((lain.vertical, lain.torsion), ("none", "none"));
        assert!(differences(&sat, seated).is_empty());
    }
}

/// Row 23: the supine position before has loaded the cupula the other way. With an ear down the store of the
/// horizontal eye velocity forgets that, and the nystagmus is seen within the published second; a store that
/// knew nothing of gravity would remember it.
#[test]
fn the_late_lateral_cupula_would_be_late_by_a_store_that_knows_no_gravity() {
    let row = row(23);
    let case = Case::new(row.canal, row.mechanisms[0]);
    let labyrinth = labyrinth("mean-adult");
    let compiled = compile_in(&case.posed_in(&test_of(&row)), labyrinth).unwrap();
    let run = rehearse(&compiled).unwrap().run;
    let times = compiled.motion.times()[row.step];
    let down = compiled.motion.at(times.hold_from_s).down_in_head;
    let latency_s = |storage_loss_by_tilt_per_s: f64| {
        let reflex = Reflex {
            storage_loss_by_tilt_per_s,
            ..Reflex::default()
        };
        let eyes = eyes_of(&run, &reflex);
        judge(
            &eyes,
            times.hold_from_s,
            times.end_s,
            down,
            &compiled.judging,
        )
        .latency_s
    };
    let ours = latency_s(Reflex::default().storage_loss_by_tilt_per_s);
    let without_gravity = latency_s(0.0);
    println!("row 23: {ours:.2} s, {without_gravity:.2} s if the store knew no gravity");
    assert!(
        ours <= 1.0 && without_gravity > 1.5,
        "{ours} {without_gravity}"
    );
}

/// A light cupula beats geotropic for as long as the head lies, stronger the lower its own ear: to the
/// right with the right ear down, to the left with the left (Laryngoscope 2014;124:E15; Front Neurol
/// 2024;15:1357195). A heavy one beats apogeotropic, as one with debris on it. 1 kg/m³ is assumed.
#[test]
fn a_light_cupula_beats_geotropic_and_lasts() {
    let labyrinth = labyrinth("mean-adult");
    for (excess_kg_m3, senses) in [
        (-1.0, [("right", "geotropic"), ("left", "geotropic")]),
        (1.0, [("left", "apogeotropic"), ("right", "apogeotropic")]),
    ] {
        let seen = ["right-supine-roll", "left-supine-roll"].map(|entry| {
            let mut test = library_entry(entry).unwrap().unwrap().scenario;
            test.debris.clear();
            test.cupulae = vec![CupulaEntry {
                ear: Ear::Right,
                canal: Canal::Lateral,
                excess_kg_m3,
            }];
            test.steps[1].hold_s = WATCHED_S;
            steps_of(&labyrinth, &test)[1].nystagmus.clone()
        });
        for (seen, (horizontal, sense)) in seen.iter().zip(senses) {
            println!("{excess_kg_m3} kg/m³: {}", words(seen));
            assert_eq!((seen.horizontal, seen.sense), (horizontal, sense));
            assert_eq!((seen.vertical, seen.torsion), ("none", "none"));
            assert!(seen.duration_s > 60.0 && seen.decay_s.is_none_or(|tau| tau > 35.0));
        }
    }
}

/// Clumps that fall apart on their way show a weaker nystagmus in the second of two Dix-Hallpikes, and
/// the report says so (Imai 2018, doi 10.1007/s00405-018-5165-3: a tenth; ours with the assumed rates
/// 0.15 here). Clumps that stay whole do not tire.
#[test]
fn a_second_dix_hallpike_of_clumps_that_fall_apart_is_told_as_fatigued() {
    let labyrinth = labyrinth("mean-adult");
    let twice = |dispersal: Option<DispersalEntry>| {
        let case = Case::new(right(Canal::Posterior), Mechanism::AmpullaryArm);
        let test = library_entry("right-dix-hallpike")
            .unwrap()
            .unwrap()
            .scenario;
        let mut posed = case.posed_in(&test);
        posed.debris[0].dispersal = dispersal;
        let again = steps_of(&labyrinth, &posed).swap_remove(3);
        let repeated = again.nystagmus.repeated.unwrap();
        assert_eq!(repeated.of_step, 2);
        let said = again.sentences.join(" ").contains("It fatigues");
        assert_eq!(said, repeated.fatigued);
        (repeated.peak_share, said)
    };
    let (whole, said) = twice(None);
    assert!(whole > 0.9 && !said, "{whole}");
    let (share, said) = twice(Some(DispersalEntry::default()));
    println!("second Dix-Hallpike over the first {share:.2}");
    assert!(share < 0.4 && said, "{share}");
}
