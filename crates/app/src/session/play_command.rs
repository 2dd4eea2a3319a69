//! What can be asked about the cursor in time.

/// A wish about the cursor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PlayCommand {
    /// Play or pause.
    Toggle,
    /// Put the cursor at a time, s.
    Seek(f64),
    /// Move the cursor by, s.
    Nudge(f64),
    /// Put the cursor at the start of a step's hold.
    ToStep(usize),
    /// To the next (1) or previous (−1) start of a step.
    StepBy(isize),
    /// Set the speed, times real time.
    Speed(f64),
    /// Next speed up (1) or down (−1).
    ChangeSpeed(isize),
}
