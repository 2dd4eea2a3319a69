//! What a manoeuvre does to a case, beside what sitting alone would do.

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_debris::simulate;
use lithodrome_labyrinth::Labyrinth;

use super::expected::Case;
use super::judged::judge_scenario;
use crate::check::check;
use crate::compile::compile_in;
use crate::error::RehearsalError;
use crate::measures::UprightDivides;
use crate::report::{Ends, Judged, PieceEnd, began_fixed};
use crate::scenario::{Scenario, StepEntry};

/// How long the patient sits in the run that a manoeuvre is compared with, s.
const SITS_ONLY_S: f64 = 300.0;

/// What a manoeuvre did to a case.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// The word and what it rests on; places are compared with those where sitting alone brings debris.
    pub judged: Judged,
    /// Sitting alone would have brought all of it out too.
    pub sitting_clears: bool,
}

/// Where a case's debris is after the patient has only sat; the same for every manoeuvre that begins alike.
#[derive(Clone, Debug, PartialEq)]
pub struct SatOnly(Ends);

/// Runs the manoeuvre with the case's debris, lets the patient sit, and compares with sitting alone.
pub fn outcome(
    labyrinth: &Arc<Labyrinth>,
    case: &Case,
    manoeuvre: &Scenario,
) -> Result<Outcome, RehearsalError> {
    let rests = sat_only(labyrinth, case, manoeuvre)?;
    outcome_beside(labyrinth, case, manoeuvre, &rests)
}

/// Lets the patient sit where the manoeuvre begins: chair, body and case decide it, no step does.
pub fn sat_only(
    labyrinth: &Arc<Labyrinth>,
    case: &Case,
    manoeuvre: &Scenario,
) -> Result<SatOnly, RehearsalError> {
    let posed = case.posed_in(manoeuvre);
    check(&posed)?;
    only_sitting(labyrinth, &posed).map(SatOnly)
}

/// The same as [`outcome`], compared with what is known of sitting alone.
pub fn outcome_beside(
    labyrinth: &Arc<Labyrinth>,
    case: &Case,
    manoeuvre: &Scenario,
    SatOnly(rests): &SatOnly,
) -> Result<Outcome, RehearsalError> {
    let posed = case.posed_in(manoeuvre);
    check(&posed)?;
    let short = case.mechanism.at_is_short();
    let out = rests.ends.iter().all(|end| match end {
        PieceEnd::Out => true,
        PieceEnd::BehindCupula(canal) => !(short && *canal == case.canal.canal),
        _ => false,
    });
    let go_on = &mut |_| ControlFlow::Continue(());
    Ok(Outcome {
        judged: judge_scenario(&posed, labyrinth, Some(&rests.course_mm), go_on)?,
        sitting_clears: out,
    })
}

/// Where debris is after the patient has only sat.
fn only_sitting(labyrinth: &Arc<Labyrinth>, posed: &Scenario) -> Result<Ends, RehearsalError> {
    let mut sits = posed.clone();
    sits.steps = vec![StepEntry {
        name: "Sit".to_owned(),
        hold_s: SITS_ONLY_S,
        ..StepEntry::default()
    }];
    let compiled = compile_in(&sits, Arc::clone(labyrinth))?;
    let go_on = &mut |_| ControlFlow::Continue(());
    let run = simulate(&compiled.model, &compiled.motion, compiled.engine, go_on)?;
    let divides = UprightDivides::of(labyrinth);
    let fixed = began_fixed(&compiled.model);
    Ok(Ends::at(labyrinth, &divides, &fixed, &run, SITS_ONLY_S))
}
