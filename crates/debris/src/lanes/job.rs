//! One run that is to be done in a lane.

use lithodrome_chair::HeadMotion;

use crate::model::Model;
use crate::state::BodyState;

/// One run of one plain body; `index` says which.
pub(crate) struct Job<'a> {
    pub(crate) index: usize,
    pub(crate) model: &'a Model,
    pub(crate) motion: &'a HeadMotion,
    /// Its body at the start.
    pub(crate) start: BodyState,
}
