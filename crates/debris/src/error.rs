//! Why a model cannot be made, and why a run does not come to its end.

/// Why bodies cannot start as asked.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ModelError {
    /// A body does not fit.
    #[error(
        "debris group {group}: diameter {found_um:.0} µm does not fit, the lumen there allows less than {allowed_um:.0} µm"
    )]
    TooWide {
        /// Number of the group, from 1.
        group: usize,
        /// Its diameter.
        found_um: f64,
        /// The lumen's.
        allowed_um: f64,
    },
    /// More bodies than the place holds.
    #[error("debris group {group}: {found} bodies do not fit there, the place holds {allowed}")]
    Full {
        /// Number of the group, from 1.
        group: usize,
        /// How many there are.
        found: u32,
        /// How many fit.
        allowed: u32,
    },
    /// An arc length outside the canal.
    #[error(
        "debris group {group}: arc {found_mm} mm is outside the canal, allowed is {least_mm:.1} to {most_mm:.1} mm"
    )]
    OutsideCanal {
        /// Number of the group, from 1.
        group: usize,
        /// The arc length.
        found_mm: f64,
        /// The least allowed.
        least_mm: f64,
        /// The most allowed.
        most_mm: f64,
    },
}

/// Why a run did not come to its end.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SimulateError {
    /// Somebody asked it to stop.
    #[error("stopped at {time_s:.1} s of the run")]
    Cancelled {
        /// Time reached.
        time_s: f64,
    },
    /// A number stopped being one.
    #[error("debris {debris} has no place any more at {time_s:.3} s of the run")]
    NotANumber {
        /// Which body, from 1.
        debris: usize,
        /// Time reached.
        time_s: f64,
    },
    /// The rigid engine gave up a body.
    #[error("the rigid engine lost {bodies} bodies at {time_s:.3} s of the run")]
    Lost {
        /// How many.
        bodies: usize,
        /// Time reached.
        time_s: f64,
    },
}
