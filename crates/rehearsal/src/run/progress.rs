//! How a run tells how far it is.

use std::ops::ControlFlow;

/// Hears the share done (0 to 1) now and then; `Break` cancels.
pub type Progress<'a> = &'a mut dyn FnMut(f64) -> ControlFlow<()>;
