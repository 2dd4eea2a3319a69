//! The bedside: how trunk and neck lie, and how far a neck reaches.

mod posture;
mod reach;

pub(crate) use posture::on_the_way;
pub use posture::{BedPosture, BodyLengths, NeckAngles, Trunk};
pub use reach::{NeckRange, Reached, reach_by_neck, reach_by_trunk_and_neck};
