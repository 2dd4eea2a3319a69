//! The debrief of a session: the same run with the ear open, what told it, what was missed, how a good
//! run goes.

use lithodrome_labyrinth::CanalId;

use super::act::{Act, Part, acts_of};
use super::debrief_text::paragraph;
use super::missed::missed_in;
use super::plane_error::{PlaneError, Positions};
use super::record::SessionRecord;
use super::score::score;
use super::session::{Patient, SessionRun};
use super::told::{Debrief, GoodRun, Score};
use super::trials::{TestTrial, bodies_inside, lasting_cure, test_trials};
use crate::error::RehearsalError;
use crate::library::library_entry;
use crate::report::happenings;
use crate::run::{SITS_AFTERWARDS_S, UPRIGHT_BEFORE_CONTROL_S};

/// Computes a debrief.
pub fn debrief(patient: &Patient, record: &SessionRecord) -> Result<Debrief, RehearsalError> {
    let session = patient.run(&record.acts)?;
    let truth = &patient.case.truth;
    let missed = missed_in(patient, &record.acts, &session)?;
    let plane_errors = plane_errors(patient, &session)?;
    let tests = test_trials(patient)?;
    let good = good_run(patient, &tests)?;
    let mut debrief = Debrief {
        marks: record.answer.as_ref().map(|a| a.named.against(truth)),
        missed,
        plane_errors,
        tests,
        happenings: happenings(&session.run),
        still_in: bodies_inside(patient, &session),
        good,
        score: Score::default(),
        paragraph: Vec::new(),
        session,
    };
    debrief.score = score(patient, record, &debrief);
    debrief.paragraph = paragraph(patient, record, &debrief);
    Ok(debrief)
}

fn plane_errors(
    patient: &Patient,
    session: &SessionRun,
) -> Result<Vec<Vec<PlaneError>>, RehearsalError> {
    let mut all = vec![Vec::new(); session.seen.len()];
    let mut canals: Vec<CanalId> = Vec::new();
    for lesion in &patient.case.truth.lesions {
        let canal = lesion.canal_id();
        if canals.contains(&canal) {
            continue;
        }
        canals.push(canal);
        let positions = Positions::of(canal)?;
        for (errors, seen) in all.iter_mut().zip(&session.seen) {
            let (part, down) = (seen.part, seen.down_in_head);
            errors.extend(positions.error(part, canal, &patient.labyrinth, down));
        }
    }
    Ok(all)
}

/// The test that shows the untouched case best, then what clears it after that test, then, after a quarter of
/// an hour upright, the test again; `None` where nothing tried leaves the debris out to the end of it.
pub fn good_run(patient: &Patient, tests: &[TestTrial]) -> Result<Option<GoodRun>, RehearsalError> {
    let speed = |trial: &&TestTrial| {
        let best = trial.best.as_ref();
        best.map_or(0.0, |seen| seen.finding.peak_spv_rad_s)
    };
    let best = tests
        .iter()
        .filter(|trial| trial.best.is_some() && !trial.name.ends_with("battery"))
        .max_by(|a, b| speed(a).total_cmp(&speed(b)));
    let test = best.map(|trial| library_entry(trial.name)).and_then(|e| e);
    let test = test.transpose()?;
    let part = |part, done: &[Act]| {
        let acts = test.as_ref().and_then(|t| acts_of(&t.scenario, part, done));
        acts.unwrap_or_default()
    };
    let then = |done: &[Act]| {
        let waits_s = UPRIGHT_BEFORE_CONTROL_S - SITS_AFTERWARDS_S;
        let waits = Act::wait("Wait upright", waits_s).as_part(Part::Treatment);
        let mut all = done.to_vec();
        all.push(waits);
        let control = part(Part::Control, &all);
        all.extend(control);
        all.split_off(done.len())
    };
    let mut acts = part(Part::Test, &[]);
    let mut found = lasting_cure(patient, &acts, &then)?;
    if found.is_none() {
        // The test itself may have brought the debris where nothing reaches it: without it, then.
        acts.clear();
        found = lasting_cure(patient, &acts, &then)?;
    }
    let Some(cure) = found else {
        return Ok(None);
    };
    acts.extend(cure.acts.iter().cloned());
    let follows = then(&acts);
    acts.extend(follows);
    Ok(Some(GoodRun {
        test: best.map(|trial| trial.name),
        cure,
        acts,
    }))
}
