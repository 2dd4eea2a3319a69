//! The lanes of the score.

pub mod axis;
pub mod chair;
pub mod course;
pub mod curve;
pub mod edges;
pub mod eye_traces;
pub mod kept;
pub mod lane;
pub mod score_ui;
pub mod steps;
pub mod story;
pub mod verdict_ui;

pub use lane::Lane;
