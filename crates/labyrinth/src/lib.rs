//! The ear at rest: canal planes, centre-lines, lumen wall, surface, anatomy files.
//!
//! Lengths are mm, angles rad, vectors in Reid axes (see [`frame`]) unless a name says otherwise.

mod anatomy;
mod build;
mod error;
pub mod frame;
mod lumen;
mod surface;
pub mod text;
mod variation;

pub use anatomy::{Anatomy, CanalAnatomy, CrusAnatomy, How, Sourced, UtricleAnatomy, WallAnatomy};
pub use build::Ring;
pub use error::AnatomyError;
pub use frame::{Canal, CanalId, Ear, Region, Vec3, length, smallest_turn};
pub use lumen::{
    CanalShape, CoursePoint, Cupula, EarShape, Hint, HintLanes, Junction, Labyrinth, Landmarks,
    Macula, Measures, Opening, Segment, Tube, Utricle, Vec3x4, WallLanes, WallSample, WallSurface,
    angle_between_rad, mask_of, whole,
};
pub use surface::Surface;
pub use variation::{DIMENSIONS, Draw, PLANE_STUDIES, PlaneStudy, Variation};
