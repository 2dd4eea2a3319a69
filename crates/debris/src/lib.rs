//! What moves inside: the forces on debris, two engines that move it, endolymph and cupula.
//!
//! Units are mm, mg, s (see [`Physics`]); vectors in Reid axes unless a name says otherwise.

mod adhesion;
mod batch;
mod crowd;
mod cupula_weight;
mod dispersal;
pub mod drag;
pub mod endolymph;
mod forces;
mod heap;
mod jam;
mod lanes;
mod live;
mod matter;
mod model;
mod mover;
mod pace;
mod physics;
mod place;
mod record;
mod rigid;
mod run;
mod settling;
mod simulate;
mod state;
mod stretch;

pub use batch::{Ending, Fate, endings};
pub use live::{BodyNow, Live, Snapshot};
pub use matter::{Adhesion, Dispersal, Matter, Shape};
pub use model::{Body, CupulaFace, DebrisGroup, Model, ModelError, Start};
pub use physics::{
    CLUMP_DENSITY_MG_MM3, GEL_DENSITY_MG_MM3, OTOCONIA_DENSITY_MG_MM3, Physics, stokes_speed_mm_s,
};
pub use run::{Engine, Event, EventKind, Place, Run, Track, Warning, Work};
pub use simulate::{SimulateError, simulate};
pub use state::State;
