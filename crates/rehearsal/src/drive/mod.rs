//! A drive by hand: kept as a scenario, held beside its plan, and what it would have taken.

mod as_scenario;
mod beside;
mod computed;
mod debrief;
mod needed;

pub use as_scenario::{drive_as_scenario, driven_step, driven_title};
pub use beside::{StepBeside, rests_in_order};
pub use computed::Computed;
pub use debrief::{DriveDebrief, drive_debrief};
