//! What stands on the two stages, as meshes and balls; knows nothing of the window.

pub mod chair_mesh;
pub mod ear_marks;
pub mod ear_scene;
pub mod figure;
pub mod mesh;
pub mod picture;
pub mod room_scene;
pub mod sculpt;
pub mod shapes;

pub use mesh::{Mesh, MeshBuilder};
pub use picture::{Ball, Batch, Picture, Quality};
