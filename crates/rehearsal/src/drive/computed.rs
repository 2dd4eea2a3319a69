//! A scenario that has been computed, as a debrief looks at it.

use lithodrome_debris::Run;

use crate::compile::Compiled;
use crate::report::Report;

/// A scenario that has been computed.
#[derive(Clone, Copy)]
pub struct Computed<'a> {
    /// What was computed.
    pub compiled: &'a Compiled,
    /// Its run.
    pub run: &'a Run,
    /// What came out.
    pub report: &'a Report,
}
