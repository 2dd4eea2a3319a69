//! One scenario, computed: to its end, against what sitting alone would do, as a table over time.

mod expected;
mod outcome;
mod rehearse;
mod trace;

pub use expected::{Case, Load, expected};
pub use outcome::{Exit, Fate, Outcome, SITS_AFTERWARDS_S, outcome, sitting_afterwards};
pub use rehearse::{Rehearsed, rehearse, rehearse_with_progress};
pub use trace::write_trace;
