//! Slow phases and beats over time, a pure function of a run.

use lithodrome_debris::Run;
use lithodrome_labyrinth::Vec3;

/// Gains and time constants between cupula and eye.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reflex {
    /// Share of one excited ear in the response to head rotation.
    pub excited_share: f64,
    /// Share of one inhibited ear.
    pub inhibited_share: f64,
}

/// What both eyes do, in eye axes: +x upper poles toward the right ear, +y down, +z left.
#[derive(Clone, Debug, PartialEq)]
pub struct EyeTrace {
    /// Sample times, s, those of the run.
    pub time_s: Vec<f64>,
    /// Slow-phase velocity caused by debris alone, rad/s, `[sample]`. The fast phase is opposite.
    pub debris_slow_phase_rad_s: Vec<Vec3>,
    /// Slow-phase velocity of all, the turning of the chair included, rad/s, `[sample]`.
    pub slow_phase_rad_s: Vec<Vec3>,
    /// Eye position with quick phases, rad, `[sample]`.
    pub position_rad: Vec<Vec3>,
}

/// The eyes of a run.
pub fn eyes_of(run: &Run, reflex: &Reflex) -> EyeTrace {
    let _ = (run, reflex);
    unimplemented!()
}
