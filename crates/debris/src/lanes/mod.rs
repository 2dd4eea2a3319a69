//! What bodies feel, four at once: lane-wise twins of the scalar law, for stepping many ears together.
//!
//! A lane is one body, in an ear and a model of its own. Every function names its scalar twin and goes
//! through the same formulas in the same order; what is a branch there is a mask here. Only plain bodies
//! have lanes: none that stick, jam, let go or fall apart.

pub(crate) mod action;
pub(crate) mod body;
pub(crate) mod contact;
pub(crate) mod drag;
pub(crate) mod face;
pub(crate) mod fluid;
pub(crate) mod job;
pub(crate) mod march;
#[cfg(test)]
mod random;
pub(crate) mod runner;
pub(crate) mod settle;
pub(crate) mod step;
