//! From model and motion to a run: columns over time, live stepping, or the end alone.

mod columns;
mod final_states;
mod live;
mod mover;
mod record;
mod simulate;
mod sitting;
mod start;

pub use columns::{Engine, Event, EventKind, Run, Track, Warning};
pub use final_states::{FinalStates, final_states};
pub use live::{BodyNow, Live, Snapshot};
pub use simulate::simulate;

#[cfg(test)]
pub(crate) use start::initial_state;
