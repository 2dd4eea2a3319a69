//! Whether a test or a manoeuvre fits a patient, and if not, why and what would have to change.

use std::path::Path;

use lithodrome_rehearsal::{
    Carrier, Compiled, LibraryEntry, Limit, LimitBreach, Limits, Purpose, Scenario, Target, Whose,
    compile, limit_breaches, posture_of_angles, worst_of_each,
};
use serde::Serialize;

use super::patient::{Patient, Suspected};
use super::share::{ClearedShare, ShareTable};
use crate::VisitError;

/// What takes longer than this is done in bed at home, s (assumed).
const AT_HOME_S: f64 = 3_600.0;

/// A test or manoeuvre held against a patient.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fit {
    /// Its name in the library.
    pub name: String,
    /// Its title.
    pub title: String,
    /// Why the chair must not do it with this patient; empty if it fits.
    pub refused_in_chair: Vec<Refusal>,
    /// Why it cannot be done at the bedside; empty if it could.
    pub refused_at_bedside: Vec<Refusal>,
    /// Length, s.
    pub duration_s: f64,
    /// How far the head goes below the horizontal, degrees; 0 if it does not.
    pub head_down_deg: f64,
    /// How long in one go, s.
    pub inverted_s: f64,
    /// Highest speed, deg/s.
    pub speed_deg_s: f64,
    /// Share of ears that it clears, if that has been computed.
    pub share: Option<ClearedShare>,
}

/// One reason.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Refusal {
    /// Why.
    pub reason: String,
    /// What would have to change.
    pub change: String,
}

impl Fit {
    /// The chair may do it.
    pub fn fits(&self) -> bool {
        self.refused_in_chair.is_empty()
    }

    /// It takes hours: a posture in bed at home, not time in the chair.
    pub fn is_at_home(&self) -> bool {
        self.duration_s > AT_HOME_S
    }
}

/// Holds an entry of the library against a patient: its motion against what he allows, and the same
/// directions of the head against neck and back at a bedside.
///
/// # Errors
/// An entry that cannot be compiled; none with the shipped ones.
pub fn fit_of(
    entry: &LibraryEntry,
    patient: &Patient,
    share: Option<ClearedShare>,
) -> Result<Fit, VisitError> {
    let scenario = &entry.scenario;
    let compiled = compile(scenario, Path::new(""))?;
    let limits = patient.allowed();
    let broken = worst_of_each(limit_breaches(&limits, Whose::Patient, &compiled.motion));
    let refused_in_chair = broken
        .iter()
        .map(|breach| refusal(breach, &compiled, patient))
        .collect();
    let [head_down_deg, inverted_s, speed_deg_s] = burden(&compiled);
    Ok(Fit {
        name: entry.name.to_owned(),
        title: scenario.title.clone(),
        refused_in_chair,
        refused_at_bedside: at_bedside(scenario, patient)?,
        duration_s: scenario.duration_s(),
        head_down_deg,
        inverted_s,
        speed_deg_s,
        share,
    })
}

/// The treatments for a suspected canal, those that fit first and of those the gentlest: the head least
/// far below the horizontal, then for the shortest time, then the slowest. One that clears less than half
/// of the share of the best one comes after the others, and what is done at home last.
///
/// # Errors
/// As [`fit_of`].
pub fn treatments_for(
    suspected: Suspected,
    patient: &Patient,
    entries: &[LibraryEntry],
    shares: &ShareTable,
) -> Result<Vec<Fit>, VisitError> {
    let target = Target::from(suspected.id());
    let mut fits = Vec::new();
    for entry in entries {
        let about = &entry.about;
        let meant = suspected
            .mechanism
            .is_none_or(|m| about.mechanisms.contains(&m));
        if about.kind == Purpose::Treatment && about.targets.contains(&target) && meant {
            fits.push(fit_of(entry, patient, shares.of(entry.name, suspected))?);
        }
    }
    let best = fits.iter().filter(|f| f.fits()).filter_map(|f| f.share);
    let best = best.map(|s| s.cleared).fold(0.0, f64::max);
    let rank = |f: &Fit| {
        let weak = f.share.is_some_and(|s| s.cleared < 0.5 * best);
        (
            u8::from(!f.fits()),
            u8::from(f.is_at_home()),
            u8::from(weak),
        )
    };
    fits.sort_by(|a, b| {
        rank(a)
            .cmp(&rank(b))
            .then(a.head_down_deg.total_cmp(&b.head_down_deg))
            .then(a.inverted_s.total_cmp(&b.inverted_s))
            .then(a.speed_deg_s.total_cmp(&b.speed_deg_s))
            .then(a.name.cmp(&b.name))
    });
    Ok(fits)
}

/// Head below the horizontal, longest time there, highest speed: what the motion would break if nothing
/// of it were allowed.
fn burden(compiled: &Compiled) -> [f64; 3] {
    let nothing = Limits {
        head_down_deg: Some(0.0),
        inverted_s: Some(0.0),
        speed_deg_s: Some(0.0),
        ..Limits::default()
    };
    let all = limit_breaches(&nothing, Whose::Patient, &compiled.motion);
    [Limit::HeadDown, Limit::Inverted, Limit::Speed].map(|limit| {
        let found = all.iter().filter(|b| b.limit == limit).map(|b| b.found);
        found.fold(0.0, f64::max)
    })
}

fn refusal(breach: &LimitBreach, compiled: &Compiled, patient: &Patient) -> Refusal {
    let behind = patient.cautions_behind(|limits| match breach.limit {
        Limit::HeadDown => limits.head_down_deg.is_some_and(|l| l < breach.found),
        Limit::Inverted => limits.inverted_s.is_some_and(|l| l < breach.found),
        Limit::Speed => limits.speed_deg_s.is_some(),
        Limit::Acceleration => limits.acceleration_deg_s2.is_some_and(|l| l < breach.found),
        Limit::Yaw => limits.yaw_deg.is_some(),
        Limit::Throw => limits.no_throw,
    });
    let why = if behind.is_empty() {
        "his own limit".to_owned()
    } else {
        let words: Vec<_> = behind
            .iter()
            .map(|c| format!("{}: {}", c.name(), c.reason()))
            .collect();
        words.join("; ")
    };
    let (step, name) = (breach.step + 1, &breach.step_name);
    let (found, allowed) = (breach.found, breach.allowed);
    let times = compiled.motion.times().get(breach.step);
    let move_s = times.map_or(0.0, |t| t.hold_from_s - t.start_s);
    let (what, change) = match breach.limit {
        Limit::HeadDown => (
            format!("the head goes {found:.0}° below the horizontal, allowed are {allowed:.0}°"),
            if allowed > 2.0 {
                format!(
                    "a form that stays within {allowed:.0}°, or the physician's word for {found:.0}°"
                )
            } else {
                format!(
                    "a form that keeps the head at or above the horizontal, or the physician's word for {found:.0}°"
                )
            },
        ),
        Limit::Inverted => (
            format!(
                "the head is below the horizontal for {found:.0} s, allowed are {allowed:.0} s"
            ),
            format!(
                "holds that are shorter by {:.0} s in all, or a rest upright in between",
                found - allowed
            ),
        ),
        Limit::Speed => (
            format!("it turns at {found:.0}°/s, allowed are {allowed:.0}°/s"),
            // The speed of a move falls as its time grows.
            format!(
                "a move of {:.1} s instead of {move_s:.1} s",
                move_s * found / allowed.max(1e-9)
            ),
        ),
        Limit::Acceleration => (
            format!("it speeds up by {found:.0}°/s², allowed are {allowed:.0}°/s²"),
            // The acceleration falls with the square of the time.
            format!(
                "a move of {:.1} s instead of {move_s:.1} s",
                move_s * (found / allowed.max(1e-9)).sqrt()
            ),
        ),
        Limit::Yaw => (
            format!("yaw goes to {found:.0}°, allowed are {allowed:.0}°"),
            "the other way round, if the same gravity can be had so".to_owned(),
        ),
        Limit::Throw => (
            format!("it is thrown by {found:.0}°"),
            "the same by hand, or a form without a throw".to_owned(),
        ),
    };
    Refusal {
        reason: format!("step {step} ({name}): {what} ({why})"),
        change,
    }
}

/// Angles between wanted and reached direction up to this are those of practised hands, degrees
/// (assumed; clinicians miss by more, 2025, Front Neurol, fneur.2025.1654404).
const REACHED_DEG: f64 = 10.0;

/// The same directions of the head on a bed, with this neck and back.
fn at_bedside(scenario: &Scenario, patient: &Patient) -> Result<Vec<Refusal>, VisitError> {
    let mut refused = Vec::new();
    for caution in patient.cautions.iter().filter(|c| c.rests_the_neck()) {
        refused.push(Refusal {
            reason: format!(
                "the neck must rest ({}: {})",
                caution.name(),
                caution.reason()
            ),
            change: "the chair, which turns head and trunk together".to_owned(),
        });
    }
    let mut on_bed = scenario.clone();
    on_bed.body = Some(Carrier::Bedside { neck: patient.neck });
    on_bed.chair = lithodrome_rehearsal::StartAngles::default();
    let (mut lowest_deg, mut lowest_step) = (-90.0_f64, 0);
    let mut headrest_deg = scenario.chair.headrest_flexion_deg;
    for (i, (step, [yaw, track])) in on_bed
        .steps
        .iter_mut()
        .zip(scenario.angles_deg())
        .enumerate()
    {
        headrest_deg = step.headrest_flexion_deg.unwrap_or(headrest_deg);
        let down = posture_of_angles(yaw, track, headrest_deg)
            .map_err(lithodrome_rehearsal::RehearsalError::from)?;
        let down = down.down_in_head;
        let below_deg = down[2].clamp(-1.0, 1.0).asin().to_degrees();
        if below_deg > lowest_deg {
            (lowest_deg, lowest_step) = (below_deg, i);
        }
        step.down_in_head = Some(down);
        step.yaw_deg = None;
        step.track_deg = None;
        step.headrest_flexion_deg = None;
        step.movement = None;
        step.move_s = step.move_s.max(1.0);
    }
    // Lying on the back the head is level at 90° of recline.
    let lies_deg = lowest_deg + 90.0;
    if lies_deg.min(90.0) > patient.back_recline_deg + REACHED_DEG {
        let name = &scenario.steps[lowest_step].name;
        refused.push(Refusal {
            reason: format!(
                "step {} ({name}): the trunk lies back by {:.0}°, this back allows {:.0}°",
                lowest_step + 1,
                lies_deg.min(90.0),
                patient.back_recline_deg
            ),
            change: "the chair, in which the back keeps its shape".to_owned(),
        });
    }
    let compiled = compile(&on_bed, Path::new(""))?;
    let worst = compiled
        .shortfalls
        .iter()
        .filter(|s| s.apart_deg > REACHED_DEG)
        .max_by(|a, b| a.apart_deg.total_cmp(&b.apart_deg));
    if let Some(short) = worst {
        let neck = &patient.neck;
        refused.push(Refusal {
            reason: format!(
                "step {} ({}): with a neck that turns {:.0}° and bends back {:.0}° the head comes no nearer than {:.0}° to where it should be",
                short.step + 1,
                short.step_name,
                neck.rotation_deg,
                neck.extension_deg,
                short.apart_deg
            ),
            change: "the chair, which needs no neck".to_owned(),
        });
    }
    Ok(refused)
}
