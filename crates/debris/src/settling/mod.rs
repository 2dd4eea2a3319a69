//! The settling engine: bodies without inertia, predicted and corrected, with contacts between them.

mod body_memory;
pub(crate) mod contacts;
pub(crate) mod correct;
pub(crate) mod memory;
mod predict;
pub(crate) mod rest_distance;
pub(crate) mod step;
pub(crate) mod step_size;

pub(crate) use memory::Memory;
