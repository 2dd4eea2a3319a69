//! What was there to be seen in a hold and was not: nobody looked, a light was on, or the hold was cut
//! short. Each is found by running the same session with that one thing changed.

use super::act::{Act, Look, Part};
use super::seen::Seen;
use super::session::{HISTORY_S, Patient, SessionRun};
use crate::error::RehearsalError;
use crate::report::spare_hold_s;

/// How much longer a hold is tried, s.
const LONGER_S: f64 = 120.0;

/// A test position shows what it has within this, s (guideline of 2017: a minute).
const LONG_ENOUGH_S: f64 = 60.0;

/// Something that a hold would have shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Missed {
    /// Nystagmus was there and nobody looked.
    LookedAway,
    /// The eyes had something to fixate, which hid it.
    Fixation,
    /// It would have begun this long after the hold ended, s.
    BeforeItBegan(f64),
    /// It would have ended this long after the hold ended, s.
    BeforeItEnded(f64),
    /// It was seen, but for less than a minute, so that nobody can tell whether it lasts.
    WhetherItLasts,
    /// Debris in the canal would have come to rest this long after the hold ended, s.
    OnItsWay(f64),
}

impl Missed {
    /// In words, after the name of the act.
    pub fn words(self) -> String {
        match self {
            Missed::LookedAway => "there was nystagmus, and nobody looked".to_owned(),
            Missed::Fixation => {
                "the patient could fixate, which hid what goggles would have shown".to_owned()
            }
            Missed::BeforeItBegan(s) => {
                format!("left {s:.0} s before nystagmus would have begun")
            }
            Missed::BeforeItEnded(s) => {
                format!("cut short by {s:.0} s, before the nystagmus had gone")
            }
            Missed::WhetherItLasts => {
                "left within a minute, so nobody can tell whether the nystagmus lasts".to_owned()
            }
            Missed::OnItsWay(s) => format!("cut short by {s:.0} s, with debris still on its way"),
        }
    }
}

/// What was missed in each act of a session, `[act]`.
pub(super) fn missed_in(
    patient: &Patient,
    acts: &[Act],
    session: &SessionRun,
) -> Result<Vec<Option<Missed>>, RehearsalError> {
    let watched: Vec<Act> = acts
        .iter()
        .map(|act| Act {
            look: Look::default(),
            ..act.clone()
        })
        .collect();
    let all_seen = if watched == acts {
        session.seen.clone()
    } else {
        patient.run(&watched)?.seen
    };
    (0..acts.len())
        .map(|i| missed(patient, &watched, &session.seen[i], &all_seen[i], i, acts))
        .collect()
}

fn missed(
    patient: &Patient,
    watched: &[Act],
    seen: &Seen,
    could_see: &Seen,
    i: usize,
    acts: &[Act],
) -> Result<Option<Missed>, RehearsalError> {
    if could_see.finding.is_seen() && !seen.finding.is_seen() {
        let hidden_by_light = acts[i].look.fixation && seen.looked;
        return Ok(Some(if hidden_by_light {
            Missed::Fixation
        } else {
            Missed::LookedAway
        }));
    }
    let hold_s = acts[i].step.hold_s;
    if hold_s >= LONG_ENOUGH_S || hold_s <= 0.0 || is_upright(seen) {
        return Ok(None);
    }
    let mut longer = watched[..=i].to_vec();
    longer[i].step.hold_s += LONGER_S;
    let run = patient.run(&longer)?;
    if acts[i].part == Part::Treatment {
        let times = &run.compiled.motion.times()[i + 1..=i + 1];
        let spare_s = spare_hold_s(&run.run, times).first().copied().flatten();
        let rests_after_s = spare_s.map_or(0.0, |spare| LONGER_S - spare);
        return Ok((rests_after_s >= 1.0).then_some(Missed::OnItsWay(rests_after_s)));
    }
    let Some(after) = run.seen.last() else {
        return Ok(None);
    };
    let finding = &after.finding;
    if !finding.is_seen() {
        return Ok(None);
    }
    Ok(if !could_see.finding.is_seen() {
        Some(Missed::BeforeItBegan((finding.latency_s - hold_s).max(0.0)))
    } else if finding.seen_at_end {
        Some(Missed::WhetherItLasts)
    } else {
        let ends_s = finding.latency_s + finding.duration_s;
        (ends_s - hold_s >= 1.0).then_some(Missed::BeforeItEnded(ends_s - hold_s))
    })
}

/// Sitting between two tests is not a test position that has to be held.
fn is_upright(seen: &Seen) -> bool {
    seen.down_in_head.z < -0.95 && seen.hold_from_s > HISTORY_S
}
