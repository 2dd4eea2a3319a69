//! What can be wrong with a motion, in words for people.

/// Why steps or a recording are not a motion. Steps and samples are counted from 1, as people do.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MotionError {
    /// A value is infinite or not a number.
    #[error("{place}: found {found}, allowed is a finite number")]
    NotFinite {
        /// Where: "start: yaw", "step 2 (Lie back): hold time".
        place: String,
        /// The value.
        found: f64,
    },
    /// A time runs backwards.
    #[error("{place}: found {found_s} s, allowed is 0 s or more")]
    NegativeTime {
        /// Where.
        place: String,
        /// The time, s.
        found_s: f64,
    },
    /// An angle changes in no time.
    #[error("{place}: found 0 s for a turn of {:.1}°, allowed is more than 0 s", found_rad.to_degrees())]
    TurnInNoTime {
        /// Where.
        place: String,
        /// The largest turn of one axis, rad.
        found_rad: f64,
    },
    /// A trapezoid's ramp cannot take this share of a move.
    #[error("ramp share of the moves: found {found}, allowed is more than 0, up to 0.5")]
    RampShare {
        /// The share.
        found: f64,
    },
    /// A throw's stop cannot take this share of a move.
    #[error("{place}: found a stop in {found} of the move, allowed is more than 0, less than 1")]
    StopShare {
        /// Where.
        place: String,
        /// The share.
        found: f64,
    },
    /// What swings needs a frequency, a size and a time.
    #[error("{place}: found {found}, allowed is {allowed}")]
    Swing {
        /// Where.
        place: String,
        /// The value.
        found: String,
        /// What would be right.
        allowed: &'static str,
    },
    /// A recording needs a beginning and an end.
    #[error("recorded drive: found {found} samples, allowed are 2 or more")]
    TooFewSamples {
        /// How many there are.
        found: usize,
    },
    /// The times of a recording must rise.
    #[error(
        "recorded sample {sample}: found {found_s} s, allowed is more than {before_s} s, the time before it"
    )]
    SampleOrder {
        /// Which sample, counted from 1.
        sample: usize,
        /// Its time, s.
        found_s: f64,
        /// The time of the sample before it, s.
        before_s: f64,
    },
}
