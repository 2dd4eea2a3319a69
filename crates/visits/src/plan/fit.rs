//! Whether a test or a manoeuvre fits a patient, and if not, why and what would have to change.

use std::path::Path;

use lithodrome_rehearsal::{
    Compiled, LibraryEntry, Limit, LimitBreach, Limits, Purpose, Target, Whose, compile,
    limit_breaches, worst_of_each,
};
use serde::Serialize;

use super::bedside::at_bedside;
use super::patient::{Patient, Suspected};
use super::refusal::Refusal;
use super::share::{ClearedShare, ShareTable};
use super::slowed::{Slowed, slowed};
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
    /// The same with longer moves, where nothing but their haste is refused.
    pub slowed: Option<Slowed>,
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
    let all = limit_breaches(&limits, Whose::Patient, &compiled.motion);
    let slowed = slowed(scenario, &all, &limits);
    let broken = worst_of_each(all);
    let refused_in_chair = broken
        .iter()
        .map(|breach| refusal(breach, &compiled, patient))
        .collect();
    let [head_down_deg, inverted_s, speed_deg_s] = burden(&compiled);
    Ok(Fit {
        name: entry.name.to_owned(),
        title: scenario.title.clone(),
        refused_in_chair,
        slowed,
        refused_at_bedside: at_bedside(scenario, &compiled.motion, patient)?,
        duration_s: scenario.duration_s(),
        head_down_deg,
        inverted_s,
        speed_deg_s,
        share,
    })
}

/// The treatments for a suspected canal, those that fit first, then those that fit once they are slowed; what is
/// done at home is last of either. Of those that fit, one that clears more ears comes first where the intervals of
/// the shares do not overlap, and one that clears less than half of the share of the best one after all others. Where
/// the shares do not tell two apart, or are not known, the gentler is first: the head least far below the horizontal,
/// then for the shortest time, then the slowest.
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
    sort(&mut fits);
    Ok(fits)
}

fn sort(fits: &mut Vec<Fit>) {
    let best = fits.iter().filter(|f| f.fits()).filter_map(|f| f.share);
    let best = best.map(|s| s.cleared).fold(0.0, f64::max);
    let rank = |f: &Fit| {
        let weak = f.share.is_some_and(|s| s.cleared < 0.5 * best);
        (
            match (f.fits(), &f.slowed) {
                (true, _) => 0,
                (false, Some(_)) => 1,
                (false, None) => 2,
            },
            u8::from(f.is_at_home()),
            u8::from(weak),
        )
    };
    let gentler = |a: &Fit, b: &Fit| {
        a.head_down_deg
            .total_cmp(&b.head_down_deg)
            .then(a.inverted_s.total_cmp(&b.inverted_s))
            .then(a.speed_deg_s.total_cmp(&b.speed_deg_s))
            .then(a.name.cmp(&b.name))
    };
    fits.sort_by(|a, b| rank(a).cmp(&rank(b)).then_with(|| gentler(a, b)));
    // "Clears more" is told by intervals, which is no order of all by itself (A may tell itself from C and B from
    // neither): what the best of those that are left cannot be told from goes in front together, the gentlest first.
    let mut left = std::mem::take(fits);
    while let Some(first) = left.first() {
        let class = rank(first);
        let peers = left.iter().filter(|f| rank(f) == class);
        let best = peers.filter_map(|f| f.share);
        let best = best.max_by(|a, b| a.cleared.total_cmp(&b.cleared));
        let clears_less = |f: &Fit| match (f.share, best) {
            (Some(share), Some(best)) => share.cleared < best.cleared && share.high < best.low,
            // Nothing is known of it, or of none.
            _ => false,
        };
        let (front, behind): (Vec<Fit>, Vec<Fit>) = left
            .into_iter()
            .partition(|f| rank(f) == class && !clears_less(f));
        fits.extend(front);
        left = behind;
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    fn fit(name: &str, head_down_deg: f64, share: Option<[f64; 3]>) -> Fit {
        Fit {
            name: name.to_owned(),
            title: name.to_owned(),
            refused_in_chair: Vec::new(),
            slowed: None,
            refused_at_bedside: Vec::new(),
            duration_s: 100.0,
            head_down_deg,
            inverted_s: 0.0,
            speed_deg_s: 0.0,
            share: share.map(|[cleared, low, high]| ClearedShare { cleared, low, high }),
        }
    }

    fn sorted(mut fits: Vec<Fit>) -> Vec<String> {
        sort(&mut fits);
        fits.into_iter().map(|f| f.name).collect()
    }

    /// What surely clears more is first although the head goes further down; where intervals overlap the gentler is.
    #[test]
    fn more_ears_before_gentler_and_gentler_where_shares_do_not_tell() {
        let throw = fit("throw", 20.0, Some([0.79, 0.76, 0.81]));
        let epley = fit("epley", 20.0, Some([0.96, 0.95, 0.97]));
        let lower = fit("lower", 30.0, Some([0.97, 0.96, 0.98]));
        let weak = fit("weak", 0.0, Some([0.4, 0.37, 0.43]));
        let unknown = fit("unknown", 25.0, None);
        let refused = Fit {
            refused_in_chair: vec![Refusal {
                reason: "for a test".to_owned(),
                change: "nothing".to_owned(),
            }],
            ..fit("refused", 0.0, Some([0.99, 0.98, 1.0]))
        };
        let home = Fit {
            duration_s: 43_200.0,
            ..fit("home", 0.0, Some([0.98, 0.97, 0.99]))
        };
        let all = vec![refused, home, weak, throw, lower, unknown, epley];
        let order = [
            "epley", "unknown", "lower", "throw", "weak", "home", "refused",
        ];
        assert_eq!(sorted(all.clone()), order);
        assert_eq!(sorted(all.into_iter().rev().collect()), order);
    }

    /// Intervals that overlap in a chain: only what the best cannot be told from goes with it.
    #[test]
    fn a_chain_of_overlaps_has_one_order() {
        let best = fit("best", 30.0, Some([0.9, 0.86, 0.94]));
        let middle = fit("middle", 20.0, Some([0.85, 0.81, 0.89]));
        let low = fit("low", 10.0, Some([0.8, 0.76, 0.84]));
        let order = ["middle", "best", "low"];
        assert_eq!(
            sorted(vec![low.clone(), middle.clone(), best.clone()]),
            order
        );
        assert_eq!(sorted(vec![best, low, middle]), order);
    }
}
