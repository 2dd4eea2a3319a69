//! What happens to the debris of one ear: where treatments leave it.

use lithodrome_debris::{Engine, FinalState, Start};
use lithodrome_labyrinth::{Canal, Region};

use super::courses::{Courses, TEXTBOOK, made};
use super::observation::{Look, Observation};
use super::observe_eyes::observe_eyes;
use super::published::PositionalRow;
use crate::members::{EarCase, Trial, TrialError};
use crate::runs::RunEnd;

/// Everything that is asked for, in the ear of an index.
pub fn observe_ear(
    courses: &Courses,
    rows: &[PositionalRow],
    case: &EarCase,
    index: u32,
    engine: Engine,
    wanted: &(dyn Fn(&str) -> bool + Sync),
) -> Result<Observation, TrialError> {
    let look = Look {
        courses,
        rows,
        wanted,
    };
    let trial = Trial { case, engine };
    let mut seen = Observation::default();
    observe_ends(&look, &trial, index, &mut seen)?;
    observe_eyes(&look, &trial, index, &mut seen)?;
    Ok(seen)
}

/// Out of the long arms: in the utricle or loose in a short arm, which opens into it.
pub(crate) fn is_out(end: RunEnd) -> bool {
    matches!(end, RunEnd::Cleared | RunEnd::BehindCupula)
}

fn canal_of(name: &str) -> Canal {
    Canal::ALL
        .into_iter()
        .find(|canal| name.contains(canal.name()))
        .unwrap_or(Canal::Posterior)
}

/// Epleys with other holds, and how their outcomes are called.
const HELD_EPLEYS: [(&str, &str, &str); 3] = [
    (made::EPLEY_15, "epley_15_s_out", "epley_15_s_switched"),
    (made::EPLEY_60, "epley_60_s_out", "epley_60_s_switched"),
    (made::EPLEY_120, "epley_120_s_out", "epley_120_s_switched"),
];

fn observe_ends(
    look: &Look,
    trial: &Trial,
    index: u32,
    seen: &mut Observation,
) -> Result<(), TrialError> {
    let wanted = |ids: &[&str]| ids.iter().any(|id| (look.wanted)(id));
    let mut names: Vec<&'static str> = TEXTBOOK
        .iter()
        .filter(|(_, id)| (look.wanted)(id))
        .map(|(name, _)| *name)
        .collect();
    for (name, out, switched) in HELD_EPLEYS {
        if wanted(&[out, switched]) {
            names.push(name);
        }
    }
    if wanted(&["reentry_at_once"]) {
        names.push(made::CONTROL_AT_ONCE);
    }
    if wanted(&["reentry_after_15_min"]) {
        names.push(made::CONTROL_LATER);
    }
    let runs: Vec<_> = names
        .iter()
        .filter_map(|name| {
            let canal = canal_of(name);
            let start = match canal {
                Canal::Lateral => Start::NonAmpullaryArm,
                Canal::Anterior | Canal::Posterior => trial.in_near_arm(canal),
            };
            let mut clump = trial.clump(canal, start, trial.case.diameter_mm);
            if [made::CONTROL_AT_ONCE, made::CONTROL_LATER].contains(name) {
                clump.matter.vestibule_hold = Some(trial.case.vestibule_hold);
            }
            Some((clump, look.courses.treatment(name, index)?))
        })
        .collect();
    let fates = trial.fates(&runs)?;
    let of = |name: &str| -> Option<(&FinalState, RunEnd)> {
        let fate = fates.get(names.iter().position(|n| *n == name)?)?;
        Some((fate, trial.end_at(canal_of(name), fate.place)))
    };
    let textbook = TEXTBOOK.iter().copied();
    let all = textbook.chain(HELD_EPLEYS.map(|(name, out, _)| (name, out)));
    for (name, id) in all {
        if let Some((_, end)) = of(name) {
            seen.put_if(id, is_out(end));
        }
    }
    if let Some((fate, end)) = of(TEXTBOOK[0].0) {
        let into = |canal| end == RunEnd::Switched && fate.place.region == Region::Duct(canal);
        seen.put_if("epley_switched_anterior", into(Canal::Anterior));
        seen.put_if("epley_switched_lateral", into(Canal::Lateral));
        for (name, id) in [
            (made::CONTROL_AT_ONCE, "reentry_at_once"),
            (made::CONTROL_LATER, "reentry_after_15_min"),
        ] {
            if is_out(end)
                && let Some((control, _)) = of(name)
            {
                let inside = matches!(control.place.region, Region::Duct(_) | Region::CommonCrus);
                seen.put_if(id, inside);
            }
        }
    }
    for (name, _, switched) in HELD_EPLEYS {
        if let Some((_, end)) = of(name) {
            seen.put_if(switched, end == RunEnd::Switched);
        }
    }
    Ok(())
}
