//! What a clinician would write down for one hold.

use lithodrome_labyrinth::Vec3;

use crate::hold::Hold;
use crate::{EyeTrace, Watching};

/// Vertical beat.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Vertical {
    /// Upbeat.
    Up,
    /// Downbeat.
    Down,
    /// Not seen.
    None,
}

/// Upper poles of the eyes beat toward this ear.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Torsion {
    /// Right ear.
    Right,
    /// Left ear.
    Left,
    /// Not seen.
    None,
}

/// Horizontal beat.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Horizontal {
    /// Right.
    Right,
    /// Left.
    Left,
    /// Not seen.
    None,
}

/// Beat relative to the ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
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
    /// Length of the slow phase below which nothing is seen, rad/s.
    pub visible_rad_s: f64,
    /// Share of the strongest component below which a component is not named.
    pub named_share: f64,
    /// Torsion without a horizontal beat is called geotropic or apogeotropic too, as some authors do.
    pub torsion_has_sense: bool,
    /// Cover of the eyes and direction of gaze.
    pub watching: Watching,
}

/// Below this a nystagmus that is seen may be missed, rad/s: 5 deg/s (assumed), above the 2.1 to 2.7 deg/s of
/// healthy people who lie down (J Vestib Res, PMC9249309) by about a standard deviation.
pub const WEAK_RAD_S: f64 = 5.0 * std::f64::consts::PI / 180.0;

impl Default for Judging {
    /// 3 deg/s: healthy people lying down show 2.1 to 2.7 deg/s on average (J Vestib Res,
    /// PMC9249309). 0.45: the torsion of an anterior canal, 0.75 of its vertical part by the normals of
    /// Della Santina 2005, is named by clinicians; the limit below it is assumed.
    fn default() -> Self {
        Judging {
            visible_rad_s: 3.0_f64.to_radians(),
            named_share: 0.45,
            torsion_has_sense: false,
            watching: Watching::default(),
        }
    }
}

/// Direction of a nystagmus, by its fast phase.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Beat {
    /// Vertical beat.
    pub vertical: Vertical,
    /// Torsional beat.
    pub torsion: Torsion,
    /// Horizontal beat.
    pub horizontal: Horizontal,
}

impl Beat {
    /// No component is named.
    pub fn is_none(self) -> bool {
        self == Beat {
            vertical: Vertical::None,
            torsion: Torsion::None,
            horizontal: Horizontal::None,
        }
    }
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
    /// Time constant of an exponential through the fall from the peak, s; `None` if nothing is seen or
    /// if it has not fallen by half within the hold.
    pub decay_tau_s: Option<f64>,
    /// After the peak a second phase against it is seen, without the head having moved.
    pub reversed: bool,
    /// It is still seen when the hold ends.
    pub seen_at_end: bool,
    /// It grows: the peak comes a second or more after it is first seen, then below half of the peak.
    pub crescendo: bool,
    /// Highest speed in the hold of what stems from the turning of the chair and not from debris, rad/s;
    /// it is left out of everything else here.
    pub turning_peak_rad_s: f64,
}

impl Finding {
    /// Its direction.
    pub fn beat(&self) -> Beat {
        Beat {
            vertical: self.vertical,
            torsion: self.torsion,
            horizontal: self.horizontal,
        }
    }

    /// It is seen, but so weak that it may be missed.
    pub fn is_weak(&self) -> bool {
        self.is_seen() && self.peak_spv_rad_s < WEAK_RAD_S
    }

    /// Whether a clinician would see any of it.
    pub fn is_seen(&self) -> bool {
        !self.beat().is_none()
    }
}

/// Judges the time from `from_s` to `to_s` by the debris part of the slow phase; `down_in_head` is
/// gravity then.
///
/// Speeds are lengths of the slow phase, counted negative where it runs against its peak. Seen is the
/// time from the first to the last moment with a speed of at least the visible one (straight lines
/// between samples). If no component at the peak is worth naming, nothing is seen; the peak and its
/// components are told all the same.
pub fn judge(
    eyes: &EyeTrace,
    from_s: f64,
    to_s: f64,
    down_in_head: Vec3,
    judging: &Judging,
) -> Finding {
    let hold = Hold::new(eyes, from_s, to_s);
    let peak = hold.peak_index();
    let slow_phase = peak.map_or_else(Vec3::zeros, |i| hold.slow_phase_rad_s[i]);
    let components = fast_phase_components(judging.watching.in_eye(slow_phase));
    let beat = beat_of(components, judging);
    let mut finding = Finding {
        vertical: beat.vertical,
        torsion: beat.torsion,
        horizontal: beat.horizontal,
        sense: sense_of(beat, down_in_head, judging),
        latency_s: 0.0,
        peak_at_s: peak.map_or(0.0, |i| (hold.time_s[i] - from_s).max(0.0)),
        peak_spv_rad_s: slow_phase.norm(),
        duration_s: 0.0,
        peak_components_rad_s: components,
        decay_tau_s: None,
        reversed: false,
        seen_at_end: false,
        crescendo: false,
        turning_peak_rad_s: hold.turning_peak_rad_s(),
    };
    if let Some(peak) = peak
        && !beat.is_none()
    {
        let visible = judging.visible_rad_s;
        let seen_from_s = hold.seen_from_s(peak, visible);
        let (seen_to_s, at_end) = hold.seen_to_s(peak, visible);
        finding.latency_s = (seen_from_s - from_s).max(0.0);
        finding.duration_s = (seen_to_s - seen_from_s).max(0.0);
        finding.seen_at_end = at_end;
        finding.crescendo = hold.grows(peak, seen_from_s, visible);
        finding.decay_tau_s = hold.decay_tau_s(peak, visible);
        finding.reversed = (peak..hold.len()).any(|i| hold.speed(i, peak) <= -visible);
    }
    finding
}

/// Fast-phase components of a slow phase, rad/s: + up, + upper pole right, + right.
pub fn fast_phase_components(slow_phase_rad_s: Vec3) -> [f64; 3] {
    [slow_phase_rad_s.y, -slow_phase_rad_s.x, slow_phase_rad_s.z]
}

/// The direction: nothing if the vector is too short to be seen, else the strongest component and, of vertical
/// and torsion, what is worth naming beside it. The horizontal part is named only where it is the strongest.
pub fn beat_of(fast_phase_components_rad_s: [f64; 3], judging: &Judging) -> Beat {
    let none = Beat {
        vertical: Vertical::None,
        torsion: Torsion::None,
        horizontal: Horizontal::None,
    };
    let squares = fast_phase_components_rad_s.iter().map(|c| c * c);
    if squares.sum::<f64>().sqrt() < judging.visible_rad_s {
        return none;
    }
    let strongest = fast_phase_components_rad_s
        .iter()
        .fold(0.0_f64, |m, c| m.max(c.abs()));
    let least = judging.named_share * strongest;
    let [up, upper_pole_right, right] = fast_phase_components_rad_s;
    Beat {
        vertical: named(up, least, [Vertical::Up, Vertical::Down, Vertical::None]),
        torsion: named(
            upper_pole_right,
            least,
            [Torsion::Right, Torsion::Left, Torsion::None],
        ),
        horizontal: named(
            right,
            strongest,
            [Horizontal::Right, Horizontal::Left, Horizontal::None],
        ),
    }
}

fn named<T: Copy>(component: f64, least: f64, [plus, minus, none]: [T; 3]) -> T {
    if component > 0.0 && component >= least {
        plus
    } else if component < 0.0 && -component >= least {
        minus
    } else {
        none
    }
}

/// How much of gravity must point into one ear for that ear to be the lower one: sin of about 17°.
/// A Dix-Hallpike has 0.61 to 0.66, a lean or a bow 0 (assumed between the two).
const LOWER_EAR: f64 = 0.3;

/// Toward or away from the lower ear: the horizontal beat if it is named, as in lateral canals; the torsion only
/// if that is asked for; none if no ear is clearly lower.
pub fn sense_of(beat: Beat, down_in_head: Vec3, judging: &Judging) -> Sense {
    if down_in_head.y.abs() <= LOWER_EAR {
        return Sense::None;
    }
    let right_ear_lower = down_in_head.y < 0.0;
    let toward_right = match (beat.horizontal, beat.torsion) {
        (Horizontal::Right, _) => true,
        (Horizontal::Left, _) => false,
        (Horizontal::None, Torsion::Right) if judging.torsion_has_sense => true,
        (Horizontal::None, Torsion::Left) if judging.torsion_has_sense => false,
        (Horizontal::None, _) => return Sense::None,
    };
    if toward_right == right_ear_lower {
        Sense::Geotropic
    } else {
        Sense::Apogeotropic
    }
}
