//! A run and what is seen in each of its holds, not judged as a whole.

use lithodrome_debris::{Run, Warning, simulate};
use lithodrome_nystagmus::{EyeTrace, Finding, Reflex, eyes_after_sitting};

use super::holds::findings_of;
use super::progress::Progress;
use crate::check::Cost;
use crate::compile::Compiled;
use crate::error::RehearsalError;
use crate::report::{StepReport, steps_of};

/// A run, the eyes, and what is seen.
#[derive(Clone, Debug)]
pub struct Observed {
    /// Positions and cupulae.
    pub run: Run,
    /// Eyes.
    pub eyes: EyeTrace,
    /// What is seen, `[step]`.
    pub steps: Vec<StepReport>,
    /// The same as it was judged, `[step]`.
    pub findings: Vec<Finding>,
}

/// A body farther outside the lumen than this makes a run worthless, µm: the size of a clump.
const OUTSIDE_UM: f64 = 50.0;

/// Every body has stayed in the lumen but for what contacts give way.
pub(crate) fn stays_inside(run: &Run) -> Result<(), RehearsalError> {
    let outside = run.warnings.iter().find_map(|warning| match warning {
        Warning::OutsideLumen {
            time_s,
            debris,
            by_um,
        } if *by_um > OUTSIDE_UM => Some(RehearsalError::LeftLumen {
            path: None,
            debris: debris + 1,
            by_um: *by_um,
            allowed_um: OUTSIDE_UM,
            time_s: *time_s,
        }),
        _ => None,
    });
    outside.map_or(Ok(()), Err)
}

/// Runs a compiled scenario; about half the work of a whole rehearsal.
pub fn observe(compiled: &Compiled, progress: Progress) -> Result<Observed, RehearsalError> {
    Cost::of(&compiled.scenario, compiled.engine).check()?;
    let run = simulate(&compiled.model, &compiled.motion, compiled.engine, progress)?;
    stays_inside(&run)?;
    let watching = compiled.judging.watching;
    let eyes = eyes_after_sitting(&run, &Reflex::default(), watching, compiled.sat_s);
    let findings = findings_of(compiled, &eyes);
    let steps = steps_of(compiled, &findings)?;
    Ok(Observed {
        run,
        eyes,
        steps,
        findings,
    })
}
