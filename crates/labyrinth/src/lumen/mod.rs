//! The hollow of an ear: tubes, utricle, one wall for all of it, and the places on it.

mod ear;
mod labyrinth;
mod lanes;
pub(crate) mod links;
mod measure;
mod openings;
mod tube;
mod tube_lanes;
mod utricle;
mod vec3x4;
mod wall;
mod wall_lanes;

pub(crate) use ear::{CanalAxes, Ducts};
pub use ear::{CanalShape, Cupula, EarShape, Landmarks};
pub use labyrinth::{Labyrinth, WallSurface};
pub use lanes::{mask_of, whole};
pub use measure::{Measures, angle_between_rad};
pub use openings::{CoursePoint, Junction, Macula, Opening, Segment};
pub use tube::Tube;
pub use utricle::Utricle;
pub use vec3x4::Vec3x4;
pub use wall::{Hint, WallSample};
pub use wall_lanes::{HintLanes, WallLanes};
