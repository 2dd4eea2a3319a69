//! One scenario, computed: to its end, against what sitting alone would do, as a table over time.

mod apart;
mod band;
mod expected;
mod follow_up;
mod holds;
mod judged;
mod observe;
mod outcome;
mod parting;
mod progress;
mod rehearse;
mod short_hold;
mod trace;

pub use apart::{Apart, apart_from, other_engine};
pub use band::{BandMember, BandVerdict};
pub use expected::{Case, Load, expected};
pub use follow_up::{SITS_AFTERWARDS_S, UPRIGHT_BEFORE_CONTROL_S, sitting_afterwards};
pub use judged::judge_scenario;
pub use observe::{Observed, observe};
pub use outcome::{Outcome, SatOnly, outcome, outcome_beside, sat_only};
pub use parting::{PARTED_MM, Parting, first_parting};
pub use progress::Progress;
pub use rehearse::{Rehearsed, rehearse, rehearse_with_progress};
pub use short_hold::STILL_MOVING_S;
pub use trace::write_trace;
