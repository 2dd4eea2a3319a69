//! The ear at rest.

pub mod frame;
mod surface;

pub use frame::{Canal, CanalId, Ear, Region, Vec3};
pub use surface::Surface;
