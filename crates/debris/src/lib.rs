//! What moves inside: the forces on debris, two engines that move it, endolymph and cupula.

mod run;

pub use run::{Engine, Event, EventKind, Place, Run, Track, Warning, Work};
