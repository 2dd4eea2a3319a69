//! What can be asked about the drive by hand.

use crate::session::choices::DriveSound;
use lithodrome_chair::ChairAxis;

/// A wish about the drive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DriveCommand {
    /// Drive the chair by hand, from the start of the plan.
    Start,
    /// Ask an axis for a speed, rad/s, in this picture; not asked for again, the chair brakes.
    Push(ChairAxis, f64),
    /// Hold an axis in this picture and pull it on by an angle, rad.
    Pull(ChairAxis, f64),
    /// Let the chair stop, whatever the hand does.
    StopChair,
    /// Hear how far off the plan it is, or not.
    Sound(DriveSound),
    /// Aim at a step of the plan.
    AimAt(usize),
    /// In this picture the hand, or a pedal, holds the one large target: turn to the step aimed at, or, taken
    /// anew where that is reached, to the next one.
    GoOn,
    /// Show the drive as one large target on the whole screen, or not.
    Glove(bool),
    /// Show the debrief of the last drive, or not.
    Debrief(bool),
    /// End the drive and keep it as the draft.
    End,
    /// End the drive and go back to the plan.
    ThrowAway,
}
