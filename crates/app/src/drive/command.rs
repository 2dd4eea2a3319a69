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
    /// End the drive and keep it as the draft.
    End,
    /// End the drive and go back to the plan.
    ThrowAway,
}
