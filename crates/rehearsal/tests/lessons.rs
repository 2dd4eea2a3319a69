//! Hidden cases: drawn by seed, tested, debriefed.
#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "helpers of tests may fail loudly"
)]

use lithodrome_labyrinth::{Canal, Ear};
use lithodrome_rehearsal::{
    Act, Answer, Diagnosis, Difficulty, HiddenCase, Lesion, LesionKind, Look, Missed, Part,
    Patient, SessionRecord, acts_of, debrief, library_entry,
};

/// The first common case from a seed on with this canal ill.
fn common(ear: Ear, canal: Canal) -> HiddenCase {
    (0..200)
        .map(|seed| HiddenCase::drawn(seed, Difficulty::Common))
        .find(|case| {
            let id = case.truth.lesions[0].canal_id();
            id.ear == ear
                && id.canal == canal
                && case.debris[0].adhesion.is_none()
                && case.debris[0].dispersal.is_none()
        })
        .expect("a fifth of common cases are lateral, the others posterior")
}

fn acts(name: &str, part: Part, done: &[Act]) -> Vec<Act> {
    let entry = library_entry(name).expect("in the library").unwrap();
    acts_of(&entry.scenario, part, done).expect("a sequence of the chair")
}

#[test]
fn a_seed_gives_one_case() {
    for seed in 0..50 {
        assert_eq!(HiddenCase::of_seed(seed), HiddenCase::of_seed(seed));
    }
    let cases: Vec<_> = (0..50).map(HiddenCase::of_seed).collect();
    assert!(cases.windows(2).any(|pair| pair[0].truth != pair[1].truth));
    // What is named and what is there agree.
    for case in &cases {
        for debris in &case.debris {
            let named = case.truth.lesions.iter().any(|lesion| {
                let id = lesion.canal_id();
                id.ear == debris.ear && id.canal == debris.canal
            });
            assert!(named, "seed {}", case.seed);
        }
    }
}

#[test]
fn a_good_session_gets_every_point_and_its_phrases_lead_into_the_run() {
    let case = common(Ear::Right, Canal::Posterior);
    let patient = Patient::with(&case).unwrap();
    let mut done = acts("right-dix-hallpike", Part::Test, &[]);
    done.truncate(4);
    let after_acts = done.len();
    done.extend(acts(
        "right-posterior-epley-whole-body",
        Part::Treatment,
        &done,
    ));
    done.push(Act::wait("Wait", 120.0).as_part(Part::Treatment));
    done.extend(acts("right-dix-hallpike", Part::Control, &done));
    let record = SessionRecord {
        acts: done,
        answer: Some(Answer {
            named: case.truth.clone(),
            after_acts,
        }),
        ..SessionRecord::new(&case)
    };
    let debrief = debrief(&patient, &record).unwrap();
    assert!(debrief.marks.unwrap().mechanism);
    assert!(debrief.still_in.is_empty(), "{:?}", debrief.paragraph);
    assert_eq!(
        debrief.score.points(),
        debrief.score.of(),
        "{:?}",
        debrief.score
    );
    let end_s = debrief.session.run.duration_s;
    let moments: Vec<_> = debrief.paragraph.iter().filter_map(|p| p.time_s).collect();
    assert!(!moments.is_empty());
    assert!(moments.iter().all(|t| (0.0..=end_s).contains(t)));
    assert!(debrief.paragraph[1].text.ends_with("all of it right"));
    let good = debrief.good.expect("an Epley clears it, so something does");
    assert!(!good.cure.manoeuvres.is_empty());
}

#[test]
fn what_was_not_looked_at_or_left_too_early_is_said() {
    let case = common(Ear::Right, Canal::Posterior);
    let patient = Patient::with(&case).unwrap();
    let mut done = acts("right-dix-hallpike", Part::Test, &[]);
    done.truncate(4);
    done[2].step.hold_s = 5.0;
    done[2].step.track_deg = Some(100.0);
    let mut record = SessionRecord {
        acts: done,
        ..SessionRecord::new(&case)
    };
    let told = debrief(&patient, &record).unwrap();
    assert!(
        matches!(
            told.missed[2],
            Some(Missed::BeforeItEnded(_) | Missed::WhetherItLasts)
        ),
        "{:?}",
        told.missed
    );
    // The track is 20° short of the Dix-Hallpike's 120°; a posterior canal of a drawn ear lies within
    // some 15° of the plane that the chair turns in, so most of the 20° are in its plane.
    let error = told.plane_errors[2].first().expect("near a Dix-Hallpike");
    assert!(error.in_plane_deg.abs() > 0.0 || error.off_plane_deg.abs() > 0.0);
    record.acts[2].look = Look::AWAY;
    let told = debrief(&patient, &record).unwrap();
    assert_eq!(told.missed[2], Some(Missed::LookedAway));
    assert_eq!(told.marks, None);
    assert!(told.paragraph.iter().any(|p| p.text == "Nothing was named"));
}

#[test]
fn marks_tell_ear_canal_and_mechanism_apart() {
    let case = common(Ear::Right, Canal::Posterior);
    let id = case.truth.lesions[0].canal_id();
    let cupula = Diagnosis::new(vec![Lesion::new(id, LesionKind::Cupula)]);
    let marks = cupula.against(&case.truth);
    assert!(marks.ear && marks.canal && !marks.mechanism);
    let marks = Diagnosis::default().against(&case.truth);
    assert!(!marks.ear && !marks.canal && !marks.mechanism);
}
