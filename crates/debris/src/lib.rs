//! What moves inside: the forces on debris, two engines that move it, endolymph and cupula.
//!
//! Units are mm, mg, s (see [`Physics`]); vectors in Reid axes unless a name says otherwise. Rooms, each
//! using only those before it: `model` (constant), `state` (what changes), `law` (of forces), `settling`
//! and `rigid` (the engines), `lanes` (four runs at once), `run` (from model and motion to columns).

mod error;
mod lanes;
mod law;
mod model;
mod place;
mod rigid;
mod run;
mod settling;
mod state;

pub use error::{ModelError, SimulateError};
pub use model::{
    Adhesion, Body, CLUMP_DENSITY_MG_MM3, CupulaFace, DebrisGroup, Dispersal, GEL_DENSITY_MG_MM3,
    LyingLoad, Matter, Model, OTOCONIA_DENSITY_MG_MM3, Physics, Rolling, Shape, Start,
    VestibuleHold, drag, endolymph, rests_at, stokes_speed_mm_s,
};
pub use place::{FinalState, Place, Work};
pub use run::{
    BodyNow, Engine, Event, EventKind, FinalStates, Live, Run, Snapshot, Track, Warning,
    final_states, simulate,
};

/// Counts up when what comes out of a run changes, so that stored outcomes tell which model they are of.
/// 2: debris that lies on a cupula presses along the normal of its crista. 3: a plausible set takes the place of the
/// one that the typical ear holds; 12 samples in a swing of a vibrator, not 24.
pub const MODEL_VERSION: u32 = 3;
