//! Throws in one ear, as glass models do them: how long a clump needs.

use lithodrome_chair::HeadMotion;
use lithodrome_debris::{Engine, Run, Start};
use lithodrome_labyrinth::{Canal, Region};

use super::courses::{Courses, THROW_STEP, THROW_WAIT_S, Throw, turns_tenths};
use super::observation::Observation;
use super::observe::is_out;
use crate::members::{EarCase, Trial, TrialError};

/// Diameters of the glass model's clumps, mm.
const SMALL_MM: f64 = 0.036;
const LARGE_MM: f64 = 0.05;

/// Diameters between which all have to leave, mm.
const ALL_MM: [f64; 4] = [SMALL_MM, 0.043, LARGE_MM, 0.057];

/// A logarithm of times that there is none of.
const NONE_LOG: f64 = 9.0;

/// What throws do in the ear in the middle of a member's ears.
pub fn observe_typical(courses: &Courses, case: &EarCase) -> Result<Observation, TrialError> {
    let trial = Trial {
        case,
        engine: Engine::Settling,
    };
    let mut asked = Vec::new();
    for beyond_deg in [0, 30] {
        asked.extend(ALL_MM.map(|mm| (Throw::beyond(beyond_deg), mm)));
    }
    asked.push((Throw::beyond(20), SMALL_MM));
    asked.push((Throw::beyond(20), LARGE_MM));
    for speed_deg_s in [90, 180] {
        let throw = Throw {
            speed_deg_s,
            ..Throw::beyond(20)
        };
        asked.push((throw, LARGE_MM));
    }
    asked.extend(turns_tenths().map(|turn| (Throw::turned(turn), LARGE_MM)));
    let mut needed = Vec::new();
    let mut out = Vec::new();
    for (throw, mm) in &asked {
        let Some(motion) = courses.throw(*throw) else {
            return Ok(Observation::default());
        };
        let run = trial.run(
            trial.clump(Canal::Posterior, Start::AmpullaryArm, *mm),
            motion,
        )?;
        needed.push(needed_s(&run, motion));
        let last = run.tracks.first().and_then(|t| t.place.last().copied());
        out.push(last.is_some_and(|place| is_out(trial.end_at(Canal::Posterior, place))));
    }
    let of = |throw: Throw, mm: f64| {
        let found = asked
            .iter()
            .position(|(t, d)| *t == throw && (d - mm).abs() < 1e-9);
        found.and_then(|i| needed.get(i).copied().flatten())
    };
    let share_out = |beyond_deg: i32| {
        let thrown = asked.iter().zip(&out);
        let of_all = thrown.filter(|((throw, mm), out)| {
            *throw == Throw::beyond(beyond_deg) && ALL_MM.contains(mm) && **out
        });
        of_all.count() as f64 / ALL_MM.len() as f64
    };
    let ratio_log = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => (a / b).ln(),
        _ => NONE_LOG,
    };
    let fast = |speed_deg_s| {
        let throw = Throw {
            speed_deg_s,
            ..Throw::beyond(20)
        };
        of(throw, LARGE_MM)
    };
    let at_20 = of(Throw::beyond(20), LARGE_MM);
    let mut seen = Observation::default();
    seen.put("throw_at_horizontal", share_out(0));
    seen.put("throw_20_log_s", at_20.unwrap_or(THROW_WAIT_S).ln());
    seen.put(
        "throw_30_over_20_log",
        ratio_log(of(Throw::beyond(30), LARGE_MM), at_20),
    );
    seen.put(
        "throw_36_over_50_log",
        ratio_log(of(Throw::beyond(20), SMALL_MM), at_20),
    );
    seen.put("throw_30_for_240_s", share_out(30));
    seen.put("throw_slow_over_fast_log", ratio_log(fast(90), fast(180)));
    let turned = |tenths| of(Throw::turned(tenths), LARGE_MM);
    let [from_deg, to_deg] = window_deg(&|tenths| turned(tenths).is_some());
    seen.put("window_from_deg", from_deg);
    seen.put("window_to_deg", to_deg);
    let edges = [225, 600].map(turned);
    let edge = edges[0].zip(edges[1]).map(|(a, b)| 0.5 * (a + b));
    seen.put("window_edge_over_middle_log", ratio_log(edge, turned(450)));
    Ok(seen)
}

/// How long after the throw has stopped the clump leaves the posterior duct for good, s; `None` if it does
/// not before the patient sits up.
fn needed_s(run: &Run, motion: &HeadMotion) -> Option<f64> {
    let wait = motion.times().get(THROW_STEP)?;
    let places = &run.tracks.first()?.place;
    let in_duct = |i: &usize| places[*i].region == Region::Duct(Canal::Posterior);
    let last = run
        .time_s
        .partition_point(|t| *t <= wait.end_s)
        .checked_sub(1)?;
    if in_duct(&last) {
        return None;
    }
    let left = (0..last).rev().find(in_duct)?;
    Some((run.time_s[left] - wait.hold_from_s).max(0.1))
}

/// The turns about 45° within which a throw succeeds, half a step beyond the last that does.
fn window_deg(succeeds: &dyn Fn(i32) -> bool) -> [f64; 2] {
    if !succeeds(450) {
        return [45.0, 45.0];
    }
    let last_ok = |step: i32| {
        let mut at = 450;
        while (0..=900).contains(&(at + step)) && succeeds(at + step) {
            at += step;
        }
        f64::from(at) / 10.0 + f64::from(step) / 20.0
    };
    [last_ok(-75), last_ok(75)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_window_ends_half_a_step_beyond_the_last_success() {
        let window = window_deg(&|tenths| (200..=680).contains(&tenths));
        assert!((window[0] - 18.75).abs() < 1e-9 && (window[1] - 71.25).abs() < 1e-9);
        let none = window_deg(&|_| false);
        assert!((none[1] - none[0]).abs() < 1e-12);
        // What succeeds beyond a gap does not count.
        let split = window_deg(&|tenths| !(200..450).contains(&tenths));
        assert!((split[0] - 41.25).abs() < 1e-9);
    }
}
