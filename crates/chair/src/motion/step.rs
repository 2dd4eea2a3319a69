//! One step of a manoeuvre, and when it begins and ends.

use crate::motion::Move;
use crate::pose::ChairAngles;

/// One element of a manoeuvre: a move to the given angles, then a hold at rest.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What people call it.
    pub name: String,
    /// Angles at the end of the move.
    pub to: ChairAngles,
    /// Time of the move, s; 0 is allowed only if no angle changes.
    pub move_s: f64,
    /// Time at rest after it, s.
    pub hold_s: f64,
}

/// A step that says how it moves, and where to: `P` is [`ChairAngles`], a [`BedPosture`](crate::BedPosture) or an
/// orientation.
#[derive(Clone, Debug, PartialEq)]
pub struct MovedStep<P> {
    /// What people call it.
    pub name: String,
    /// Where the move ends.
    pub to: P,
    /// Time of the move, s; 0 is allowed only if nothing turns.
    pub move_s: f64,
    /// Time at rest after it, s.
    pub hold_s: f64,
    /// How it moves.
    pub movement: Move,
}

/// When a step's move and hold begin and end, s from the start of the run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StepTimes {
    /// Start of the move.
    pub start_s: f64,
    /// Start of the hold.
    pub hold_from_s: f64,
    /// End of the hold.
    pub end_s: f64,
}
