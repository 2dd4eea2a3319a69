//! What the eyes do: six cupulae to one slow phase, to quick phases, to words.
//!
//! [`eyes_of`] turns a run into an [`EyeTrace`], [`judge`] a hold of it into a [`Finding`], and
//! [`sentence`] that into words. A chair that is driven live uses [`EyeState`], the same thing sample by
//! sample, and [`now_words`]. Nothing here feeds back into the ear.
//!
//! **Eye axes** are Reid axes: a rotation about +x carries the upper poles toward the right ear, about
//! +y turns the eyes down, about +z to the left. Nystagmus is named by its fast phase, measured by its
//! slow phase, and the two are opposite.

mod eye_trace;
mod finding;
mod gaze;
mod hold;
mod reflex;
mod repetition;
mod watching;
mod words;

pub use eye_trace::{
    EyeSample, EyeState, EyeTrace, eyes_after_sitting, eyes_of, eyes_watched,
    slow_phases_after_sitting,
};
pub use finding::{
    Beat, Finding, Horizontal, Judging, Sense, Torsion, Vertical, WEAK_RAD_S, beat_of,
    fast_phase_components, judge, sense_of,
};
pub use gaze::Gaze;
pub use reflex::Reflex;
pub use repetition::{Repetition, repetitions};
pub use watching::{Cover, Watching};
pub use words::{beat_words, now_words, sentence, sentences};
