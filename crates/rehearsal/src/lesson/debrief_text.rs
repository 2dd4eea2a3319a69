//! The paragraph of a debrief: phrases that follow from the run, each with its moment.

use lithodrome_nystagmus::sentence;

use super::act::Part;
use super::record::SessionRecord;
use super::seen::Seen;
use super::session::Patient;
use super::told::Debrief;
use crate::library::library_entry;
use crate::report::{HappeningKind, Phrase};

/// Off by less than this is not told, degrees (assumed).
const TOLD_DEG: f64 = 10.0;

pub(super) fn paragraph(
    patient: &Patient,
    record: &SessionRecord,
    debrief: &Debrief,
) -> Vec<Phrase> {
    let mut all = vec![hidden(patient, debrief), named(record, debrief)];
    all.extend(tests(debrief));
    all.extend(missed(debrief));
    all.extend(angles(debrief));
    all.extend(treatment(patient, record, debrief));
    all.extend(control(patient, record, debrief));
    all.extend(good(patient, debrief));
    all
}

fn phrase(text: impl Into<String>) -> Phrase {
    Phrase {
        text: text.into(),
        time_s: None,
    }
}

fn at(time_s: f64, text: impl Into<String>) -> Phrase {
    Phrase {
        text: text.into(),
        time_s: Some(time_s),
    }
}

/// It leads to where the resident began to look for it.
fn hidden(patient: &Patient, debrief: &Debrief) -> Phrase {
    let case = &patient.case;
    let debris: Vec<_> = case
        .debris
        .iter()
        .map(|d| format!("{} of {:.0} µm", d.count, d.diameter_um))
        .collect();
    let held = if debris.is_empty() {
        String::new()
    } else {
        format!(" ({})", debris.join(", "))
    };
    at(
        begins_s(debrief),
        format!("Hidden was: {}{held}", case.truth.words()),
    )
}

fn named(record: &SessionRecord, debrief: &Debrief) -> Phrase {
    let Some((answer, marks)) = record.answer.as_ref().zip(debrief.marks) else {
        return at(end_s(debrief), "Nothing was named");
    };
    let verdict = match (marks.ear, marks.canal, marks.mechanism) {
        (_, _, true) => "all of it right",
        (_, true, _) => "ear and canal right, mechanism wrong",
        (true, _, _) => "ear right, canal wrong",
        _ => "ear wrong",
    };
    let before = &debrief.session.seen[..answer.after_acts.min(debrief.session.seen.len())];
    Phrase {
        text: format!("You named: {}; {verdict}", answer.named.words()),
        time_s: Some(before.last().map_or(0.0, |seen| seen.end_s)),
    }
}

/// When the first act begins, s.
fn begins_s(debrief: &Debrief) -> f64 {
    debrief
        .session
        .seen
        .first()
        .map_or(0.0, |seen| seen.start_s)
}

/// When the session ends, s.
fn end_s(debrief: &Debrief) -> f64 {
    debrief.session.run.duration_s
}

/// Which of the tests done told it, which showed nothing, and which of the library would have.
fn tests(debrief: &Debrief) -> Vec<Phrase> {
    let seen = debrief.session.seen.iter();
    let done: Vec<&Seen> = seen.filter(|s| s.part == Part::Test && s.looked).collect();
    let mut all = Vec::new();
    let strongest = done.iter().filter(|s| s.finding.is_seen()).max_by(|a, b| {
        let speed = |s: &Seen| s.finding.peak_spv_rad_s;
        speed(a).total_cmp(&speed(b))
    });
    if let Some(seen) = strongest {
        all.push(at(
            seen.hold_from_s + seen.finding.latency_s,
            format!(
                "Most was seen in \"{}\": {}",
                seen.name,
                sentence(&seen.finding).trim_end_matches('.')
            ),
        ));
    }
    for seen in done.iter().filter(|s| s.vertigo && !s.finding.is_seen()) {
        all.push(at(
            seen.hold_from_s,
            format!(
                "In \"{}\" the patient felt turning and no eye showed it",
                seen.name
            ),
        ));
    }
    let titles = |told: bool| -> Vec<&str> {
        let trials = debrief.tests.iter();
        trials
            .filter(|trial| trial.best.is_some() == told)
            .map(|trial| trial.title.as_str())
            .collect()
    };
    let (told, silent) = (titles(true), titles(false));
    if told.is_empty() {
        all.push(at(
            begins_s(debrief),
            "No test of the library shows this case to an onlooker",
        ));
    } else if !silent.is_empty() {
        // One of them that was done is the moment; else where testing began.
        let is_silent = |seen: &&&Seen| {
            let mut trials = debrief.tests.iter().filter(|t| t.best.is_none());
            trials.any(|trial| trial.title.contains(seen.name.as_str()))
        };
        let tried = done.iter().find(is_silent).map(|seen| seen.hold_from_s);
        all.push(at(
            tried.unwrap_or_else(|| begins_s(debrief)),
            format!(
                "Of the untouched case these tests show nothing: {}",
                silent.join(", ")
            ),
        ));
    }
    all
}

fn missed(debrief: &Debrief) -> Vec<Phrase> {
    let pairs = debrief.session.seen.iter().zip(&debrief.missed);
    pairs
        .filter_map(|(seen, missed)| {
            let missed = (*missed)?;
            Some(at(
                seen.end_s,
                format!("\"{}\": {}", seen.name, missed.words()),
            ))
        })
        .collect()
}

fn angles(debrief: &Debrief) -> Vec<Phrase> {
    let steps = debrief.session.seen.iter().zip(&debrief.plane_errors);
    let pairs = steps.flat_map(|(seen, errors)| errors.iter().map(move |error| (seen, error)));
    pairs
        .filter_map(|(seen, error)| {
            let (inside, off) = (error.in_plane_deg, error.off_plane_deg);
            let worth = inside.abs().max(off.abs()) >= TOLD_DEG;
            let way = if inside < 0.0 { "short" } else { "too far" };
            worth.then(|| {
                at(
                    seen.hold_from_s,
                    format!(
                        "\"{}\": {:.0}° {way} in the plane of the {} canal and {:.0}° off it, against \"{}\"",
                        seen.name,
                        inside.abs(),
                        error.canal.name(),
                        off.abs(),
                        error.position
                    ),
                )
            })
        })
        .collect()
}

fn treatment(patient: &Patient, record: &SessionRecord, debrief: &Debrief) -> Vec<Phrase> {
    let mut all = Vec::new();
    if patient.case.debris.is_empty() {
        return vec![at(
            end_s(debrief),
            "There was no debris that a manoeuvre could move",
        )];
    }
    for happening in &debrief.happenings {
        let text = match happening.what {
            HappeningKind::EnteredOther(canal) => {
                format!("{} entered the {} canal", happening.pieces, canal.name())
            }
            HappeningKind::Left => format!("{} out", happening.pieces),
            HappeningKind::TurnedBack => continue,
        };
        all.push(at(happening.time_s, text));
    }
    let treated = record.acts.iter().any(|act| act.part == Part::Treatment);
    if debrief.still_in.is_empty() {
        let text = if treated {
            "In the end all debris is out"
        } else {
            "In the end all debris is out, by the tests alone"
        };
        all.push(at(end_s(debrief), text));
    } else {
        let canals: Vec<_> = debrief.still_in.iter().map(|c| c.name()).collect();
        let text = format!(
            "In the end debris of the {} is not out{}",
            canals.join(" and the "),
            if treated { "" } else { "; nothing was treated" }
        );
        all.push(at(end_s(debrief), text));
    }
    all
}

fn control(patient: &Patient, record: &SessionRecord, debrief: &Debrief) -> Vec<Phrase> {
    if patient.case.debris.is_empty() {
        return Vec::new();
    }
    if !record.has_control() {
        return vec![at(end_s(debrief), "No control test followed")];
    }
    let controls = || {
        let seen = debrief.session.seen.iter();
        seen.filter(|s| s.part == Part::Control)
    };
    let shown = controls().filter(|s| s.finding.is_seen()).max_by(|a, b| {
        let speed = |s: &Seen| s.finding.peak_spv_rad_s;
        speed(a).total_cmp(&speed(b))
    });
    vec![match shown {
        Some(seen) => at(
            seen.hold_from_s + seen.finding.latency_s,
            format!(
                "The control test shows: {}",
                sentence(&seen.finding).trim_end_matches('.')
            ),
        ),
        None => at(
            controls().next_back().map_or(0.0, |s| s.hold_from_s),
            "The control test shows nothing",
        ),
    }]
}

fn good(patient: &Patient, debrief: &Debrief) -> Vec<Phrase> {
    if patient.case.debris.is_empty() {
        return Vec::new();
    }
    let Some(good) = &debrief.good else {
        return vec![at(
            end_s(debrief),
            "Nothing tried in the library clears this case so that the test a quarter of an hour later finds nothing in it",
        )];
    };
    let length_s: f64 = good
        .cure
        .acts
        .iter()
        .map(|a| a.step.move_s + a.step.hold_s)
        .sum();
    let holds = if good.cure.least_hold_s > 0.0 {
        format!(" with holds of at least {:.0} s", good.cure.least_hold_s)
    } else {
        String::new()
    };
    let titles: Vec<String> = good.cure.manoeuvres.iter().map(|m| title_of(m)).collect();
    let test = good
        .test
        .map_or_else(String::new, |test| format!("{}, then ", title_of(test)));
    vec![phrase(format!(
        "A good run: {test}{}{holds} in {length_s:.0} s, then a quarter of an hour upright and the test again",
        titles.join(", then ")
    ))]
}

/// What people call an entry of the library.
fn title_of(name: &str) -> String {
    let entry = library_entry(name).and_then(Result::ok);
    entry.map_or_else(|| name.to_owned(), |entry| entry.scenario.title)
}
