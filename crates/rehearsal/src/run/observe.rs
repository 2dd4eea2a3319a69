//! A run and what is seen in each of its holds, not judged as a whole.

use lithodrome_debris::{Run, simulate};
use lithodrome_nystagmus::{EyeTrace, Reflex, eyes_after_sitting};

use super::holds::findings_of;
use super::progress::Progress;
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
}

/// Runs a compiled scenario; about half the work of a whole rehearsal.
pub fn observe(compiled: &Compiled, progress: Progress) -> Result<Observed, RehearsalError> {
    let run = simulate(&compiled.model, &compiled.motion, compiled.engine, progress)?;
    let watching = compiled.judging.watching;
    let eyes = eyes_after_sitting(&run, &Reflex::default(), watching, compiled.sat_s);
    let steps = steps_of(compiled, &findings_of(compiled, &eyes))?;
    Ok(Observed { run, eyes, steps })
}
