//! Plans of visits: every refusal has its reason, the gentlest comes first, times add up.

use std::path::{Path, PathBuf};

use lithodrome_labyrinth::{Canal, Ear};
use lithodrome_rehearsal::{Mechanism, NeckLimits, library};
use lithodrome_visits::{
    Caution, ClearedShare, Code, Fit, Patient, ShareRow, ShareTable, Suspected, plan_from_ron,
    plan_of, tests_for, treatments_for,
};

fn shipped() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/visits/kestrel-valley.ron")
}

pub(crate) fn patient(cautions: Vec<Caution>) -> Patient {
    Patient {
        code: Code::new("KV-07").unwrap(),
        weight_kg: 62.0,
        height_cm: 158.0,
        suspected: Vec::new(),
        neck: NeckLimits::default(),
        back_recline_deg: 90.0,
        cautions,
        limits: None,
    }
}

pub(crate) const RIGHT_POSTERIOR: Suspected = Suspected {
    ear: Ear::Right,
    canal: Canal::Posterior,
    mechanism: None,
};

/// No shares are known.
pub(crate) fn unknown() -> ShareTable {
    ShareTable::default()
}

/// How far a way of the track from one angle to another brings the head below the horizontal, degrees, by
/// hand: −cos θ is largest at the end nearer to an odd multiple of 180°, or there if it is passed.
fn lowest_deg(from: f64, to: f64) -> f64 {
    let (low, high) = (from.min(to), from.max(to));
    let turned = ((low - 180.0) / 360.0).ceil() * 360.0 + 180.0;
    let below = |track: f64| (-track.to_radians().cos()).asin().to_degrees();
    if turned <= high {
        90.0
    } else {
        below(low).max(below(high))
    }
}

/// With glaucoma exactly those are refused that bring the head below the horizontal, with the eye as the
/// reason; with a stiff neck the bedside is out for those that need more neck than there is.
#[test]
fn glaucoma_and_a_stiff_neck_refuse_for_the_right_reasons() {
    let mut stiff = patient(vec![Caution::EyePressure]);
    stiff.neck = NeckLimits {
        rotation_deg: 30.0,
        extension_deg: 10.0,
        flexion_deg: 20.0,
        lateral_deg: 10.0,
    };
    let entries = library().unwrap();
    let (mut refused, mut fitting) = (0, 0);
    for canal in [Canal::Anterior, Canal::Lateral, Canal::Posterior] {
        let suspected = Suspected {
            canal,
            ..RIGHT_POSTERIOR
        };
        let fits = treatments_for(suspected, &stiff, &entries, &unknown()).unwrap();
        assert!(fits.len() >= 3);
        for fit in &fits {
            let scenario = &entries
                .iter()
                .find(|e| e.name == fit.name)
                .unwrap()
                .scenario;
            // The hand calculation is for a head in line with the trunk.
            let flexed = scenario
                .steps
                .iter()
                .any(|s| s.headrest_flexion_deg.is_some());
            let in_line = scenario.chair.headrest_flexion_deg == 0.0 && !flexed;
            let mut from = scenario.chair.track_deg;
            let mut lowest = -90.0_f64;
            for [_, track] in scenario.angles_deg() {
                lowest = lowest.max(lowest_deg(from, track));
                from = track;
            }
            let name = &fit.name;
            if in_line {
                assert_eq!(fit.fits(), lowest < 0.1, "{name}: {lowest}");
                let found = fit.head_down_deg;
                // The program looks at samples of a move, so it may pass the lowest place by half a degree.
                assert!((found - lowest.max(0.0)).abs() < 0.5, "{name}: {found}");
            }
            for refusal in &fit.refused_in_chair {
                assert!(
                    refusal.reason.contains("glaucoma or diseased retina"),
                    "{refusal:?}"
                );
                assert!(refusal.reason.contains("JAMA 253:1755"), "{refusal:?}");
                assert!(refusal.change.contains("physician"), "{refusal:?}");
            }
            refused += usize::from(!fit.fits());
            fitting += usize::from(fit.fits());
        }
        // Fitting ones first.
        let order: Vec<bool> = fits.iter().map(Fit::fits).collect();
        assert!(order.is_sorted_by(|a, b| a >= b), "{order:?}");
    }
    assert!(
        refused > 5 && fitting > 3,
        "{refused} refused, {fitting} fit"
    );
    let entry = entries
        .iter()
        .find(|e| e.name == "right-dix-hallpike")
        .unwrap();
    let fit = lithodrome_visits::fit_of(entry, &stiff, None).unwrap();
    // 30° below the horizontal needs a neck that bends back 30°.
    let words = &fit.refused_at_bedside[0].reason;
    assert!(
        words.contains("a neck that turns 30° and bends back 10°"),
        "{words}"
    );
    assert!(fit.refused_at_bedside[0].change.contains("chair"));
    let healthy = lithodrome_visits::fit_of(entry, &patient(Vec::new()), None).unwrap();
    assert!(
        healthy.refused_at_bedside.is_empty() && healthy.fits(),
        "{healthy:?}"
    );
}

/// Each caution refuses something of the library or gives advice, and never without its own words.
#[test]
fn every_caution_speaks_for_itself() {
    let entries = library().unwrap();
    for caution in Caution::ALL {
        let fits = treatments_for(
            RIGHT_POSTERIOR,
            &patient(vec![caution]),
            &entries,
            &unknown(),
        )
        .unwrap();
        for refusal in fits.iter().flat_map(|f| &f.refused_in_chair) {
            assert!(refusal.reason.contains(caution.name()), "{refusal:?}");
        }
        let bed = fits
            .iter()
            .filter(|f| !f.refused_at_bedside.is_empty())
            .count();
        if caution.rests_the_neck() {
            assert_eq!(bed, fits.len(), "{caution:?}");
        }
        assert!(caution.reason().len() > 20);
    }
}

#[test]
fn his_own_limit_only_tightens() {
    let entries = library().unwrap();
    let mut own = patient(vec![Caution::Heart]);
    own.limits = Some(lithodrome_rehearsal::Limits {
        head_down_deg: Some(80.0),
        speed_deg_s: Some(20.0),
        ..lithodrome_rehearsal::Limits::default()
    });
    assert_eq!(own.allowed().head_down_deg, Some(30.0));
    let fits = treatments_for(RIGHT_POSTERIOR, &own, &entries, &unknown()).unwrap();
    let slow = fits
        .iter()
        .flat_map(|f| &f.refused_in_chair)
        .find(|r| r.reason.contains("°/s, allowed are 20°/s"));
    let slow = slow.unwrap();
    assert!(
        slow.reason.contains("his own limit") && slow.change.starts_with("a move of "),
        "{slow:?}"
    );
}

#[test]
fn a_treatment_that_hardly_clears_comes_after_those_that_do() {
    let entries = library().unwrap();
    let row = |entry: &lithodrome_rehearsal::LibraryEntry| {
        let cleared = if entry.name.contains("brandt") {
            0.1
        } else {
            0.9
        };
        ShareRow {
            manoeuvre: entry.name.to_owned(),
            canal: Canal::Posterior,
            place: Mechanism::AmpullaryArm,
            share: ClearedShare {
                cleared,
                low: cleared - 0.05,
                high: cleared + 0.05,
            },
        }
    };
    let well = ShareTable {
        rows: entries.iter().map(row).collect(),
    };
    let fits = treatments_for(RIGHT_POSTERIOR, &patient(Vec::new()), &entries, &well).unwrap();
    assert!(
        fits.last().unwrap().name.contains("brandt"),
        "{:?}",
        fits.last()
    );
    let burdens: Vec<f64> = fits[..fits.len() - 1]
        .iter()
        .map(|f| f.head_down_deg)
        .collect();
    assert!(burdens.is_sorted_by(|a, b| *a <= b + 1e-9), "{burdens:?}");
}

#[test]
fn provocations_are_done_twice_and_the_suspected_side_last() {
    let entries = library().unwrap();
    let mut right = patient(Vec::new());
    right.suspected = vec![RIGHT_POSTERIOR];
    let order = tests_for(&right, &entries).unwrap();
    let names: Vec<_> = order
        .iter()
        .map(|t| t.fit.as_ref().map_or("wait", |f| &f.name))
        .collect();
    assert_eq!(
        names[..5],
        [
            "left-dix-hallpike",
            "right-dix-hallpike",
            "wait",
            "left-dix-hallpike",
            "right-dix-hallpike"
        ]
    );
    assert!(names.contains(&"left-supine-roll") && names.contains(&"straight-head-hanging"));
}

#[test]
fn the_shipped_visit_is_planned() {
    let visit = plan_from_ron(&shipped()).unwrap();
    let day = plan_of(&visit, &unknown()).unwrap();
    assert_eq!(day.patients.len(), 3);
    let [first, second, third] = &day.patients[..] else {
        panic!("three patients");
    };
    assert_eq!(first.limits.head_down_deg, Some(1.0));
    // Two canals of one ear: two treatments. One is done in the chair, with its wait of 15 min and control test; for
    // brittle bones the other is a night on the healthy side, which is neither followed by a control test in this
    // visit nor counted as time in the chair.
    assert_eq!(second.treatments.len(), 2);
    let (at_home, in_visit): (Vec<_>, Vec<_>) = second
        .then
        .iter()
        .partition(|t| t.fit.as_ref().is_some_and(Fit::is_at_home));
    let home = at_home[0];
    assert_eq!((at_home.len(), in_visit.len()), (1, 3), "{:?}", second.then);
    assert_eq!(home.time_words(), "12 h at home");
    assert!(home.words.ends_with("; control test at the next visit"));
    assert!(in_visit[1].wait && (in_visit[1].duration_s - 900.0).abs() < 1e-9);
    assert!(in_visit[2].words.starts_with("Control test: "));
    let fits = |t: &&lithodrome_visits::PlannedTest| t.fit.as_ref().is_none_or(Fit::fits);
    let in_chair = second.tests.iter().chain(in_visit).filter(fits);
    let in_chair_s: f64 = in_chair.map(|t| t.duration_s).sum();
    let sum_min = visit.seating_min + in_chair_s / 60.0;
    assert!((second.chair_min - sum_min).abs() < 1e-9);
    assert!(third.treatments.is_empty() && !third.tests.is_empty());
    let sum: f64 = day.patients.iter().map(|p| p.chair_min).sum();
    assert!((day.day_min - (sum + 2.0 * visit.changing_min)).abs() < 1e-9);
    let text = day.text();
    for words in [
        "KV-07",
        "glaucoma",
        "not a medical device",
        "local rules apply",
        "Wait upright before the control test",
        "; control test at the next visit (12 h at home)",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
}

#[test]
fn a_plan_that_cannot_be_says_where() {
    let text = std::fs::read_to_string(shipped()).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("visit.ron");
    for (from, to, words) in [
        ("\"KV-07\"", "\"Maria Example\"", ":11:"),
        (
            "62.0",
            "620.0",
            "patient KV-07: weight_kg: found 620, allowed is 20 to 250 kg",
        ),
        ("EyePressure", "EyeColour", "EyeColour"),
        (
            "rim_radius_cm: 95.0",
            "rim_radius_cm: 0.0",
            "rim_radius_cm: found 0, allowed is 20 to 300 cm",
        ),
    ] {
        std::fs::write(&path, text.replacen(from, to, 1)).unwrap();
        let error = plan_from_ron(&path)
            .and_then(|v| plan_of(&v, &unknown()))
            .unwrap_err();
        assert!(error.to_string().contains(words), "{from}: {error}");
    }
}

/// Two ears at once: both treatments are run with the other's debris, the course holds the debris of both canals
/// and a wait upright between its treatments, and its steps begin where the treatment's own do.
#[test]
fn several_canals_are_one_course() {
    let mut both = patient(Vec::new());
    let left_lateral = Suspected {
        ear: Ear::Left,
        canal: Canal::Lateral,
        mechanism: Some(Mechanism::NonAmpullaryArm),
    };
    both.suspected = vec![RIGHT_POSTERIOR, left_lateral];
    let visit = lithodrome_visits::VisitPlan::of(
        lithodrome_visits::Date::new("2026-05-12").unwrap(),
        Code::new("H-3").unwrap(),
        vec![both],
    );
    let day = plan_of(&visit, &unknown()).unwrap();
    let plan = &day.patients[0];
    let course = plan.course.as_ref().unwrap();
    assert_eq!(course.order.len(), 2);
    assert_eq!(course.effects.len(), 2, "each on the other");
    for effect in &course.effects {
        assert_ne!(effect.meant_for, effect.on);
        assert!(!effect.words.is_empty());
    }
    let scenario = &course.scenario;
    let canals: Vec<_> = scenario.debris.iter().map(|d| (d.ear, d.canal)).collect();
    assert!(canals.contains(&(Ear::Right, Canal::Posterior)));
    assert!(canals.contains(&(Ear::Left, Canal::Lateral)));
    let waits = scenario
        .steps
        .iter()
        .filter(|s| (s.hold_s - 900.0).abs() < 1e-9);
    assert_eq!(waits.count(), 1);
    // The same treatments in the same order in the list of what is done.
    let done: Vec<&str> = plan
        .then
        .iter()
        .filter(|t| t.fit.is_some() && !t.words.starts_with("Control"))
        .map(|t| t.words.as_str())
        .collect();
    let order: Vec<&str> = course
        .order
        .iter()
        .map(|(_, title)| title.as_str())
        .collect();
    assert_eq!(done, order);
    let text = day.text();
    assert!(
        text.contains("Several canals.") && text.contains("The whole course: "),
        "{text}"
    );
    // One canal needs no course.
    let mut one = patient(Vec::new());
    one.suspected = vec![RIGHT_POSTERIOR];
    let visit = lithodrome_visits::VisitPlan {
        patients: vec![one],
        ..visit
    };
    assert_eq!(
        plan_of(&visit, &unknown()).unwrap().patients[0].course,
        None
    );
}

/// A visit that is written is read again as it was.
#[test]
fn a_visit_is_written_as_it_is_read() {
    let visit = plan_from_ron(&shipped()).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("visit.ron");
    lithodrome_visits::write_plan(&visit, &path).unwrap();
    assert_eq!(plan_from_ron(&path).unwrap(), visit);
}

/// Shares are told with their interval; a left ear's are those of the mirrored treatment.
#[test]
fn shares_are_of_mirrored_treatments_and_have_intervals() {
    let table = ShareTable {
        rows: vec![ShareRow {
            manoeuvre: "right-posterior-semont".to_owned(),
            canal: Canal::Posterior,
            place: Mechanism::AmpullaryArm,
            share: ClearedShare {
                cleared: 0.81,
                low: 0.78,
                high: 0.84,
            },
        }],
    };
    let left = Suspected {
        ear: Ear::Left,
        ..RIGHT_POSTERIOR
    };
    let share = table.of("left-posterior-semont", left).unwrap();
    assert_eq!(share.words(), "clears 81 in 100 ears (78 to 84)");
    assert_eq!(table.of("left-posterior-semont", RIGHT_POSTERIOR), None);
    let arm = Suspected {
        mechanism: Some(Mechanism::NonAmpullaryArm),
        ..left
    };
    assert_eq!(table.of("left-posterior-semont", arm), None);
}
