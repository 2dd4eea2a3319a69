//! What the library does to a hidden case: which tests show it and which manoeuvre clears it. Always by
//! a run in the case's own ears, never from a list.

use lithodrome_labyrinth::CanalId;

use super::act::{Act, Part, acts_of};
use super::seen::Seen;
use super::session::{HISTORY_S, Patient, SessionRun};
use crate::check::MAX_DURATION_S;
use crate::error::RehearsalError;
use crate::library::{LibraryEntry, library};
use crate::measures::UprightDivides;
use crate::report::{Ends, PieceEnd, began_fixed};
use crate::rules::{Lesion, LesionKind};
use crate::run::SITS_AFTERWARDS_S;
use crate::scenario::{Carrier, Purpose};

/// The tests and manoeuvres of the library that a chair does.
pub fn offered(kind: Purpose) -> Result<Vec<LibraryEntry>, RehearsalError> {
    let mut entries = library()?;
    entries.retain(|entry| {
        entry.about.kind == kind && matches!(entry.scenario.body, None | Some(Carrier::Chair))
    });
    Ok(entries)
}

/// What one test shows of a case that nothing was done to before.
#[derive(Clone, Debug, PartialEq)]
pub struct TestTrial {
    /// Name in the library.
    pub name: &'static str,
    /// Title.
    pub title: String,
    /// The hold in which most is seen; `None` if nothing is seen in any.
    pub best: Option<Seen>,
    /// The patient feels turning in some hold.
    pub vertigo: bool,
}

/// Every offered test, each on the untouched case, in the library's order.
pub fn test_trials(patient: &Patient) -> Result<Vec<TestTrial>, RehearsalError> {
    let tests = offered(Purpose::Test)?;
    tests.iter().map(|test| test_trial(patient, test)).collect()
}

fn test_trial(patient: &Patient, test: &LibraryEntry) -> Result<TestTrial, RehearsalError> {
    let acts = acts_of(&test.scenario, Part::Test, &[]).unwrap_or_default();
    let session = patient.run(&acts)?;
    let vertigo = session.seen.iter().any(|seen| seen.vertigo);
    let best = session
        .seen
        .into_iter()
        .filter(|seen| seen.finding.is_seen())
        .max_by(|a, b| {
            let speed = |s: &Seen| s.finding.peak_spv_rad_s;
            speed(a).total_cmp(&speed(b))
        });
    Ok(TestTrial {
        name: test.name,
        title: test.scenario.title.clone(),
        best,
        vertigo,
    })
}

/// A treatment that takes out all debris of a case.
#[derive(Clone, Debug, PartialEq)]
pub struct Cure {
    /// Names in the library, in the order they are done; the same twice is done twice.
    pub manoeuvres: Vec<&'static str>,
    /// Every hold had to last at least this long, s, longer than the library says; 0 if not.
    pub least_hold_s: f64,
    /// What is done, sitting afterwards included.
    pub acts: Vec<Act>,
}

/// A treatment of the library that clears the case after `done`; `None` if nothing tried does.
///
/// For each ill canal in turn the manoeuvres meant for it and its mechanism are tried, the shortest
/// first, then each of them with long holds, then twice, then what is meant for the canal at all.
pub fn cure(patient: &Patient, done: &[Act]) -> Result<Option<Cure>, RehearsalError> {
    lasting_cure(patient, done, &|_| Vec::new())
}

/// The same with what follows the whole treatment, given what was done until then: the debris has to be out
/// after that too, or the next treatment is tried.
pub(super) fn lasting_cure(
    patient: &Patient,
    done: &[Act],
    then: &dyn Fn(&[Act]) -> Vec<Act>,
) -> Result<Option<Cure>, RehearsalError> {
    let lesions = &patient.case.truth.lesions;
    if lesions.is_empty() || patient.case.debris.is_empty() {
        return Ok(None);
    }
    let nothing = |_: &[Act]| Vec::new();
    let mut cure = Cure {
        manoeuvres: Vec::new(),
        least_hold_s: 0.0,
        acts: Vec::new(),
    };
    for (i, lesion) in lesions.iter().enumerate() {
        let before: Vec<Act> = done.iter().chain(&cure.acts).cloned().collect();
        let last = i + 1 == lesions.len();
        let then = if last { then } else { &nothing };
        match cure_of(patient, *lesion, &before, then)? {
            Some(treated) => {
                cure.manoeuvres.extend(treated.manoeuvres);
                cure.least_hold_s = cure.least_hold_s.max(treated.least_hold_s);
                cure.acts.extend(treated.acts);
            }
            None => return Ok(None),
        }
    }
    let all: Vec<Act> = done.iter().chain(&cure.acts).cloned().collect();
    let still_in = bodies_inside(patient, &patient.run(&all)?);
    Ok(still_in.is_empty().then_some(cure))
}

/// The long holds that are tried where those of the library are too short, s (assumed): debris that has
/// fallen apart settles several times slower.
const LONG_HOLD_S: f64 = 150.0;

fn cure_of(
    patient: &Patient,
    lesion: Lesion,
    before: &[Act],
    then: &dyn Fn(&[Act]) -> Vec<Act>,
) -> Result<Option<Cure>, RehearsalError> {
    let canal = lesion.canal_id();
    let mut all = offered(Purpose::Treatment)?;
    all.retain(|entry| entry.is_for(canal));
    all.sort_by(|a, b| length_s(a).total_cmp(&length_s(b)));
    let (meant, others): (Vec<_>, Vec<_>) = all.into_iter().partition(|entry| {
        let kinds = lesion.kind.mechanisms();
        entry.about.mechanisms.iter().any(|m| kinds.contains(m))
    });
    let once = meant.iter().map(|entry| (vec![entry], 0.0));
    let long = meant.iter().map(|entry| (vec![entry], LONG_HOLD_S));
    let twice = meant.iter().map(|entry| (vec![entry, entry], LONG_HOLD_S));
    let of_canal = others.iter().map(|entry| (vec![entry], LONG_HOLD_S));
    for (sequence, least_hold_s) in once.chain(long).chain(twice).chain(of_canal) {
        let acts = treatment_acts(&sequence, least_hold_s, before);
        let mut all: Vec<Act> = before.iter().chain(&acts).cloned().collect();
        let follows = then(&all);
        if HISTORY_S + acts_s(&all) + acts_s(&follows) > MAX_DURATION_S {
            // Longer than a run may be, such as half a day on one side done twice.
            continue;
        }
        if bodies_inside(patient, &patient.run(&all)?).contains(&canal) {
            continue;
        }
        all.extend(follows.iter().cloned());
        if follows.is_empty() || bodies_inside(patient, &patient.run(&all)?).is_empty() {
            return Ok(Some(Cure {
                manoeuvres: sequence.iter().map(|entry| entry.name).collect(),
                least_hold_s,
                acts,
            }));
        }
    }
    Ok(None)
}

fn treatment_acts(sequence: &[&LibraryEntry], least_hold_s: f64, before: &[Act]) -> Vec<Act> {
    let mut done = before.to_vec();
    for entry in sequence {
        let mut acts = acts_of(&entry.scenario, Part::Treatment, &done).unwrap_or_default();
        // Not the moments before the first position.
        for act in acts
            .iter_mut()
            .filter(|act| act.step.hold_s >= SHORT_HOLD_S)
        {
            act.step.hold_s = act.step.hold_s.max(least_hold_s);
        }
        done.extend(acts);
    }
    done.push(Act::wait("Sit afterwards", SITS_AFTERWARDS_S).as_part(Part::Treatment));
    done.split_off(before.len())
}

/// How long acts last, s.
fn acts_s(acts: &[Act]) -> f64 {
    acts.iter().map(|a| a.step.move_s + a.step.hold_s).sum()
}

/// Shorter holds are passed through, s (assumed).
const SHORT_HOLD_S: f64 = 8.0;

fn length_s(entry: &LibraryEntry) -> f64 {
    entry
        .scenario
        .steps
        .iter()
        .map(|s| s.move_s + s.hold_s)
        .sum()
}

/// Canals that debris began in and is not out of at the end of a session, once each: out is in the
/// utricle, or loose in a short arm that it did not begin in.
pub fn bodies_inside(patient: &Patient, session: &SessionRun) -> Vec<CanalId> {
    let labyrinth = &patient.labyrinth;
    let ends = Ends::at(
        labyrinth,
        &UprightDivides::of(labyrinth),
        &began_fixed(&session.compiled.model),
        &session.run,
        session.run.duration_s,
    );
    let began_behind = |canal: CanalId| {
        let lesions = &patient.case.truth.lesions;
        let short = |l: &Lesion| l.canal_id() == canal && l.kind == LesionKind::ShortArm;
        lesions.iter().any(short)
    };
    let mut inside: Vec<CanalId> = ends
        .ends
        .iter()
        .zip(&ends.from)
        .filter(|(end, from)| match end {
            PieceEnd::Out => false,
            PieceEnd::BehindCupula(canal) => *canal == from.canal && began_behind(**from),
            _ => true,
        })
        .map(|(_, from)| *from)
        .collect();
    inside.sort_by_key(|canal| canal.index());
    inside.dedup();
    inside
}
