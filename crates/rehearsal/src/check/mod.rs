//! Whether everything in a scenario is in its range, before anything is built of it.

mod about;
mod cost;
mod matter;
mod range;
mod recorded;
mod scenario;
mod steps;

pub use cost::Cost;
pub(crate) use range::MAX_DURATION_S;
pub use scenario::{check, check_limits};
