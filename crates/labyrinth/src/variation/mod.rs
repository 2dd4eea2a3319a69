//! Ears that differ as people do.

mod draw;
mod settle;

pub use draw::{Draw, Variation};
