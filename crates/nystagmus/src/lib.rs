//! What the eyes do: six cupulae to one slow phase, to quick phases, to words.

mod eye_trace;
mod finding;

pub use eye_trace::{EyeTrace, Reflex, eyes_of};
pub use finding::{Finding, Horizontal, Judging, Sense, Torsion, Vertical, judge, sentence};
