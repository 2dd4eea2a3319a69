//! What a clinician would write down for one hold.

use lithodrome_labyrinth::Vec3;

use crate::EyeTrace;

/// Vertical beat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Vertical {
    /// Upbeat.
    Up,
    /// Downbeat.
    Down,
    /// Not seen.
    None,
}
/// Upper poles of the eyes beat toward this ear.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Torsion {
    /// Right ear.
    Right,
    /// Left ear.
    Left,
    /// Not seen.
    None,
}
/// Horizontal beat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Horizontal {
    /// Right.
    Right,
    /// Left.
    Left,
    /// Not seen.
    None,
}
/// Beat relative to the ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// Toward the lower ear.
    Geotropic,
    /// Away from it.
    Apogeotropic,
    /// No side is lower, or nothing is seen.
    None,
}

/// Thresholds of seeing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judging {
    /// Slow-phase speed below which a component is not seen, rad/s.
    pub visible_rad_s: f64,
    /// Share of the strongest component below which a component is not named.
    pub named_share: f64,
}

/// One hold in words and numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Vertical beat.
    pub vertical: Vertical,
    /// Torsional beat.
    pub torsion: Torsion,
    /// Horizontal beat.
    pub horizontal: Horizontal,
    /// Toward or away from the ground.
    pub sense: Sense,
    /// From the start of the hold until it is seen, s; 0 if nothing is seen.
    pub latency_s: f64,
    /// From the start of the hold to the peak, s.
    pub peak_at_s: f64,
    /// Highest slow-phase speed, rad/s.
    pub peak_spv_rad_s: f64,
    /// How long it is seen, s.
    pub duration_s: f64,
    /// Fast-phase components at the peak, rad/s: + up, + upper pole right, + right.
    pub peak_components_rad_s: [f64; 3],
}

/// Judges the time from `from_s` to `to_s`; `down_in_head` is gravity then.
pub fn judge(
    eyes: &EyeTrace,
    from_s: f64,
    to_s: f64,
    down_in_head: Vec3,
    judging: &Judging,
) -> Finding {
    let _ = (eyes, from_s, to_s, down_in_head, judging);
    unimplemented!()
}

/// The finding as one plain sentence.
pub fn sentence(finding: &Finding) -> String {
    let _ = finding;
    unimplemented!()
}
