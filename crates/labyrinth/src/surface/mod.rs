//! Surface meshes for drawing.

mod facets;
mod mesh;
mod net;

pub use mesh::Surface;
