//! The ear at rest: canal planes, centre-lines, lumen wall, surface, anatomy files.
//!
//! Lengths are mm, angles rad, vectors in Reid axes (see [`frame`]) unless a name says otherwise.

mod anatomy;
mod centre_line;
mod centre_line_ear;
mod centre_line_table;
mod clearance;
mod construct;
mod ear;
mod error;
mod facets;
pub mod frame;
mod labyrinth;
mod landmarks;
mod lanes;
mod measure;
mod path;
mod resettle;
mod ring;
mod shipped;
mod spline;
mod surface;
mod tube;
mod tube_lanes;
mod utricle;
mod variation;
mod vec3x4;
mod wall;
mod wall_lanes;

pub use anatomy::{Anatomy, CanalAnatomy, CrusAnatomy, How, Sourced, UtricleAnatomy};
pub use ear::{CanalShape, Cupula, EarShape, Landmarks};
pub use error::AnatomyError;
pub use frame::{Canal, CanalId, Ear, Region, Vec3};
pub use labyrinth::Labyrinth;
pub use landmarks::{CoursePoint, Junction, Macula, Opening, Segment};
pub use lanes::{mask_of, whole};
pub use measure::{Measures, angle_between_rad};
pub use ring::Ring;
pub use surface::Surface;
pub use tube::Tube;
pub use utricle::Utricle;
pub use variation::{Draw, Variation};
pub use vec3x4::Vec3x4;
pub use wall::{Hint, WallSample};
pub use wall_lanes::{HintLanes, WallLanes};
