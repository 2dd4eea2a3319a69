//! From people's units to the constant model and the head's motion.

use std::path::Path;

use lithodrome_chair::HeadMotion;
use lithodrome_debris::Engine;

use crate::{RehearsalError, Scenario};

/// A scenario ready to run.
#[derive(Clone, Debug)]
pub struct Compiled {
    /// The head's motion.
    pub motion: HeadMotion,
    /// The engine to use.
    pub engine: Engine,
}

/// Compiles a scenario; relative anatomy paths start from `base_dir`.
pub fn compile(scenario: &Scenario, base_dir: &Path) -> Result<Compiled, RehearsalError> {
    let _ = (scenario, base_dir);
    unimplemented!()
}
