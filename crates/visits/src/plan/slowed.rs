//! The same treatment with longer moves, where nothing but the haste of its moves forbids it.

use std::path::Path;

use lithodrome_rehearsal::{Limit, LimitBreach, Limits, Scenario, Whose, compile, limit_breaches};
use serde::Serialize;

/// As long as the slowest turn of the library; a longer move is another treatment, s (assumed).
const LONGEST_MOVE_S: f64 = 60.0;

/// A treatment whose moves were made longer. Debris may run otherwise in it: shares of ears are not its own.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Slowed {
    /// Each longer move: "step 3 (Swing to the left side) in 4.3 s instead of 1.2 s".
    pub moves: Vec<String>,
    /// All of it.
    #[serde(skip)]
    pub scenario: Scenario,
}

impl Slowed {
    /// What was changed, and what that leaves open.
    pub fn words(&self) -> String {
        format!(
            "slowed it fits: {}; whether it clears so has to be rehearsed, shares are of the quick form",
            self.moves.join(", ")
        )
    }
}

/// The scenario with every move that is too quick made as long as the limits ask, if it is by hand and nothing else
/// breaks a limit, before or after.
///
/// # Equation
/// The speed of a move falls as its time grows, its acceleration with the square of the time.
pub(super) fn slowed(
    scenario: &Scenario,
    broken: &[LimitBreach],
    limits: &Limits,
) -> Option<Slowed> {
    let mut slower = scenario.clone();
    let times_s = scenario.move_times_s();
    let mut moves = Vec::new();
    for (i, (step, before_s)) in slower.steps.iter_mut().zip(times_s).enumerate() {
        let factors = broken.iter().filter(|b| b.step == i).map(|b| {
            let ratio = b.found / b.allowed.max(1e-9);
            match b.limit {
                Limit::Speed => Some(ratio),
                Limit::Acceleration => Some(ratio.sqrt()),
                _ => None,
            }
        });
        let factors = factors.collect::<Option<Vec<f64>>>()?;
        let Some(factor) = factors.into_iter().reduce(f64::max) else {
            continue;
        };
        // To the next tenth of a second, so that what is written fits.
        step.move_s = (10.0 * before_s * factor).ceil() / 10.0;
        if step.movement.is_some() || step.move_s > LONGEST_MOVE_S {
            return None;
        }
        moves.push(format!(
            "step {} ({}) in {:.1} s instead of {before_s:.1} s",
            i + 1,
            step.name,
            step.move_s
        ));
    }
    if moves.is_empty() {
        return None;
    }
    // What cannot be computed so is not offered.
    let compiled = compile(&slower, Path::new("")).ok()?;
    let fits = limit_breaches(limits, Whose::Patient, &compiled.motion).is_empty();
    fits.then_some(Slowed {
        moves,
        scenario: slower,
    })
}
