//! What fits a patient: his numbers are sound, a bed is no chair, and what is only too quick is slowed.

use lithodrome_rehearsal::{Mechanism, library};
use lithodrome_visits::{Caution, Fit, Patient, Suspected, treatments_for};

use crate::plans::{RIGHT_POSTERIOR, patient, unknown};

/// Limits of his own are held to the ranges of a scenario's: NaN would make every treatment fit. A canal that is
/// suspected twice would be treated twice, and each more multiplies the orders that are tried.
#[test]
fn a_patient_that_cannot_be_says_where() {
    type Spoil = fn(&mut Patient);
    let spoilt: [(Spoil, &str); 6] = [
        (
            |p| limits(p).head_down_deg = Some(f64::NAN),
            "limits.head_down_deg: found NaN, allowed is 0 to 90 deg",
        ),
        (
            |p| limits(p).inverted_s = Some(-1.0),
            "limits.inverted_s: found -1, allowed is 0 to 86400 s",
        ),
        (
            |p| limits(p).speed_deg_s = Some(0.0),
            "limits.speed_deg_s: found 0, allowed is 0.1 to 10000 deg/s",
        ),
        (
            |p| limits(p).acceleration_deg_s2 = Some(f64::INFINITY),
            "limits.acceleration_deg_s2: found inf, allowed is 0.1 to 1000000 deg/s²",
        ),
        (
            |p| limits(p).yaw_deg = Some(1e9),
            "limits.yaw_deg: found 1000000000, allowed is 0 to 36000 deg",
        ),
        (
            |p| {
                let arm = Some(Mechanism::NonAmpullaryArm);
                p.suspected = vec![RIGHT_POSTERIOR; 2];
                p.suspected[1].mechanism = arm;
            },
            "suspected: found the right posterior canal twice, allowed is up to six canals, each once",
        ),
    ];
    for (spoil, words) in spoilt {
        let mut patient = patient(Vec::new());
        spoil(&mut patient);
        let told = patient.check().unwrap_err().to_string();
        assert_eq!(told, format!("patient KV-07: {words}"));
    }
    let mut sound = patient(Vec::new());
    limits(&mut sound).head_down_deg = Some(0.0);
    sound.suspected = lithodrome_labyrinth::CanalId::ALL
        .map(|id| Suspected {
            ear: id.ear,
            canal: id.canal,
            mechanism: None,
        })
        .to_vec();
    sound.check().unwrap();
}

fn limits(patient: &mut Patient) -> &mut lithodrome_rehearsal::Limits {
    patient.limits.get_or_insert_default()
}

/// On a bed nobody goes head over heels, in one move or in steps; the 60° past the horizontal of a Semont a healthy
/// neck reaches over the edge, a stiff one does not.
#[test]
fn what_goes_through_upside_down_is_not_for_a_bed() {
    let entries = library().unwrap();
    let at_bedside = |name: &str, patient: &Patient| {
        let entry = entries.iter().find(|e| e.name == name).unwrap();
        let fit = lithodrome_visits::fit_of(entry, patient, None).unwrap();
        fit.refused_at_bedside
    };
    let healthy = patient(Vec::new());
    for name in [
        "right-posterior-backward-turn",
        "left-posterior-backward-turn-slow",
        "right-posterior-backward-turn-in-steps",
        "left-anterior-forward-turn-in-steps",
        "right-posterior-half-somersault",
    ] {
        let refused = at_bedside(name, &healthy);
        let words = refused.first().map_or("nothing", |r| &r.reason);
        assert!(words.contains("upside down"), "{name}: {words}");
    }
    for name in [
        "right-posterior-epley-bedside",
        "right-posterior-semont",
        "left-posterior-semont-60-beyond",
        "right-posterior-brandt-daroff",
        "right-lateral-roll-360",
        "right-anterior-deep-head-hanging",
    ] {
        assert_eq!(at_bedside(name, &healthy), [], "{name}");
    }
    let mut stiff = healthy;
    stiff.neck = lithodrome_rehearsal::STIFF_NECK;
    let refused = at_bedside("left-posterior-semont-60-beyond", &stiff);
    assert!(
        refused[0].reason.contains("neck that turns 30°"),
        "{refused:?}"
    );
}

/// A quick side-lying of 90° in 0.8 s has its peak at 15/8 of the mean (Flash & Hogan 1985, J Neurosci 5:1688):
/// 15/8 · 90° / 0.8 s = 210.9°/s. Where 60°/s are allowed it takes 15/8 · 90° / 60°/s = 2.8125 s, told as 2.9 s.
#[test]
fn what_is_only_too_quick_is_offered_slowed() {
    let entries = library().unwrap();
    let mut slow = patient(Vec::new());
    limits(&mut slow).speed_deg_s = Some(60.0);
    let fits = treatments_for(RIGHT_POSTERIOR, &slow, &entries, &unknown()).unwrap();
    let semont = fits.iter().find(|f| f.name == "right-posterior-semont");
    let semont = semont.unwrap();
    assert!(!semont.fits());
    let slowed = semont.slowed.as_ref().unwrap();
    assert!(
        slowed.moves[0].ends_with("nose 45° up) in 2.9 s instead of 0.8 s"),
        "{slowed:?}"
    );
    assert!((slowed.scenario.steps[1].move_s - 2.9).abs() < 1e-9);
    // Sitting up, 90° in 3 s at 56°/s, stays.
    assert_eq!(slowed.moves.len(), 2);
    // Those that fit, then those that fit slowed, then the others.
    let rank = |f: &Fit| {
        if f.fits() {
            0
        } else {
            2 - u8::from(f.slowed.is_some())
        }
    };
    let ranks: Vec<u8> = fits.iter().map(rank).collect();
    assert!(ranks.is_sorted() && ranks.contains(&1), "{ranks:?}");
    // Where the head must not go down slower moves do not help.
    slow.cautions = vec![Caution::EyePressure];
    let fits = treatments_for(RIGHT_POSTERIOR, &slow, &entries, &unknown()).unwrap();
    let epley = fits.iter().find(|f| f.name.contains("epley-whole-body"));
    assert_eq!(epley.unwrap().slowed, None);
}
