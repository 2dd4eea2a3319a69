//! What stays constant during a run: the ears, their fluid, the bodies, the head's motion as ears feel it.

mod body;
mod build;
pub mod drag;
mod drive;
pub mod endolymph;
mod heap_places;
mod matter;
mod physics;
mod segment;
mod start_places;

pub use body::{Body, CupulaFace, DebrisGroup, Start};
pub use build::Model;
pub use matter::{Adhesion, Dispersal, Matter, Rolling, Shape, VestibuleHold};
pub use physics::{
    CLUMP_DENSITY_MG_MM3, GEL_DENSITY_MG_MM3, LyingLoad, OTOCONIA_DENSITY_MG_MM3, Physics,
    stokes_speed_mm_s,
};
pub use start_places::rests_at;

pub(crate) use body::{Pieces, TIGHT};
pub(crate) use drive::Drive;
pub(crate) use segment::{HeadSegments, Segment};
