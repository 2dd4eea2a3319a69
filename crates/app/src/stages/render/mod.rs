//! Draws a [`Picture`] on the graphics card and copies it into the window.
//!
//! Each stage is drawn off-screen (smooth edges, depth), then copied in the window's own pass.
//! Only vertex, instance and uniform buffers are used, so that OpenGL will do as well as Vulkan.

mod card;
mod card_mesh;
mod paint;
mod passes;
mod pipelines;
mod target;

pub use paint::{StageId, bytes, install, install_in, paint};
