//! The rigid engine: bodies that also touch each other, moved by rapier3d.

mod hull;
mod vectors;
mod walls;
mod world;

pub(crate) use world::World;
