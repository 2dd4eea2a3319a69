//! What came of a drive so far.

use std::sync::Arc;

use lithodrome_chair::ChairAngles;
use lithodrome_rehearsal::Scenario;

use super::{Advice, target::Target};
use crate::work::stage_data::Loaded;

/// What came of it so far.
#[derive(Clone)]
pub struct Driven {
    /// The drive as a run in the plan's case.
    pub loaded: Arc<Loaded>,
    /// Time since the start, s.
    pub time_s: f64,
    /// The chair now.
    pub angles: ChairAngles,
    /// Since when the chair stands, s of the drive; `None` while it turns.
    pub rests_since_s: Option<f64>,
    /// How fast the head turns, rad/s.
    pub speed_rad_s: f64,
    /// What to do.
    pub advice: Advice,
    /// Which step of the plan this is.
    pub target: Target,
    /// The drive as a scenario, once it is over.
    pub scenario: Option<Arc<Scenario>>,
    /// What went wrong, in words; the drive is then over.
    pub failed: Option<String>,
}
