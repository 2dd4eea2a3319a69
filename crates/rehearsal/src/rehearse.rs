//! Runs a compiled scenario.

use std::ops::ControlFlow;

use lithodrome_debris::Run;
use lithodrome_nystagmus::EyeTrace;

use crate::{Compiled, RehearsalError, Report};

/// One scenario, computed.
#[derive(Clone, Debug)]
pub struct Rehearsed {
    /// Positions and cupulae.
    pub run: Run,
    /// Eyes.
    pub eyes: EyeTrace,
    /// Per step and per debris.
    pub report: Report,
}

/// Runs to the end.
pub fn rehearse(compiled: &Compiled) -> Result<Rehearsed, RehearsalError> {
    rehearse_with_progress(compiled, &mut |_| ControlFlow::Continue(()))
}

/// Runs, telling the share done (0 to 1) now and then; `Break` cancels.
pub fn rehearse_with_progress(
    compiled: &Compiled,
    progress: &mut dyn FnMut(f64) -> ControlFlow<()>,
) -> Result<Rehearsed, RehearsalError> {
    let _ = (compiled, progress);
    unimplemented!()
}
