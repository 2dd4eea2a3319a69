//! The law of forces, shared by both engines: drag and weight, what holds a body, what it does to the flow.

pub(crate) mod adhesion;
pub(crate) mod cupula_weight;
pub(crate) mod dispersal;
pub(crate) mod forces;
pub(crate) mod jam;
