//! The scenario, in people's units, as it stands in a file, and what follows from it by reading alone.

mod about;
mod bedside;
mod body;
mod entries;
mod matter;
mod mirror;
mod place;
mod plan;
mod recorded;
mod ron;
mod steps_list;
mod syntax;

pub use about::{About, Mechanism, Purpose, Target};
pub use bedside::STIFF_NECK;
pub use body::{Carrier, MoveEntry, NeckEntry, NeckLimits, SkullPlace, TrunkEntry};
pub use entries::{DebrisEntry, EyesEntry, FORMAT, Limits, Scenario, StartAngles, StepEntry};
pub use matter::{
    AdhesionEntry, CupulaEntry, DispersalEntry, Kind, ShapeEntry, VestibuleHoldEntry,
};
pub use place::At;
pub use plan::Shortfall;
pub(crate) use plan::{Plan, chair_angles_deg, motor, move_time_s, plan};
pub use recorded::{RecordedEntry, recorded_entries};
pub use ron::scenario_from_ron;
pub(crate) use ron::scenario_to_ron;
#[cfg(test)]
pub(crate) use ron::tests::full;
pub(crate) use steps_list::MAX_STEPS;
