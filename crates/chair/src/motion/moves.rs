//! How a step moves: by hand, by a motor within its limits, thrown, shaken or vibrated.

use lithodrome_labyrinth::Vec3;
use serde::{Deserialize, Serialize};

use crate::motion::MoveProfile;
use crate::pose::{Jet, Swinging};

/// How one step moves: the way from rest to rest, and what swings about it meanwhile.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Move {
    /// Shape of the way.
    pub profile: MoveProfile,
    /// What is added to the way.
    pub swing: Option<Swing>,
}

impl From<MoveProfile> for Move {
    fn from(profile: MoveProfile) -> Move {
        Move {
            profile,
            swing: None,
        }
    }
}

/// A motion to and fro that lasts as long as the move and begins and ends at rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Swing {
    /// An axis turns to and fro.
    Shaking {
        /// Which.
        axis: ShakeAxis,
        /// Largest turn to each side, rad.
        amplitude_rad: f64,
        /// Swings per second.
        frequency_hz: f64,
    },
    /// The head as a whole is moved to and fro, as by a vibrator on the skull.
    Vibration {
        /// Direction in head axes; its length is without meaning.
        along_in_head: Vec3,
        /// Largest way to each side, mm.
        amplitude_mm: f64,
        /// Swings per second.
        frequency_hz: f64,
    },
}

/// What is shaken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum ShakeAxis {
    /// Turns about the long axis, as in saying no: the chair's yaw, at the bedside the neck's turn.
    Yaw,
    /// Turns about the axis through both ears, as in saying yes: the headrest, at the bedside the neck.
    Nod,
    /// The chair's track; no other body has it.
    Track,
}

/// What a person allows or takes for a turn by hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum HandPace {
    /// Gently: 40 deg/s on average, 120° in 3 s (assumed; no published speed of hand-driven chairs was
    /// found).
    #[default]
    Typical,
    /// Briskly: 110° in 1.8 s, as experienced examiners lay patients back (measured with motion capture
    /// over 127 tests).
    Fast,
}

impl HandPace {
    /// Time for a turn, s; not below 0.5 s, as a small turn takes its start and stop too (assumed).
    pub fn time_s(self, turn_rad: f64) -> f64 {
        let mean_deg_s = match self {
            HandPace::Typical => 40.0,
            HandPace::Fast => 110.0 / 1.8,
        };
        time_at(turn_rad, mean_deg_s, 0.5)
    }
}

/// A throw's mean speed, deg/s: 150, within the 90 to 180 deg/s of swings on the bench (Obrist 2016,
/// Front Neurol 7:150).
const THROW_DEG_S: f64 = 150.0;

/// Usual time of a throw, s; 0.2 s at least (assumed).
pub fn throw_time_s(turn_rad: f64) -> f64 {
    time_at(turn_rad, THROW_DEG_S, 0.2)
}

fn time_at(turn_rad: f64, mean_deg_s: f64, least_s: f64) -> f64 {
    if turn_rad == 0.0 {
        0.0
    } else {
        (turn_rad.abs().to_degrees() / mean_deg_s).max(least_s)
    }
}

/// Limits of a motor, the same for every axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motor {
    /// Highest angular speed, rad/s.
    pub speed_rad_s: f64,
    /// Highest angular acceleration, rad/s².
    pub acceleration_rad_s2: f64,
}

impl Motor {
    /// Shortest time from rest to rest, s.
    ///
    /// # Equation
    /// With way D, speed v, acceleration a: D/v + v/a if v is reached (D ≥ v²/a), else 2√(D/a).
    pub fn least_time_s(self, turn_rad: f64) -> f64 {
        let (way, v, a) = (turn_rad.abs(), self.speed_rad_s, self.acceleration_rad_s2);
        if way >= v * v / a {
            way / v + v / a
        } else {
            2.0 * (way / a).sqrt()
        }
    }

    /// The move that takes `move_s` at the motor's acceleration, with as high a speed as that needs;
    /// `None` if that is shorter than [`Motor::least_time_s`].
    ///
    /// # Equation
    /// A ramp of the share r gives the acceleration D/(T² r (1 − r)), so r (1 − r) = D/(a T²).
    pub fn profile(self, turn_rad: f64, move_s: f64) -> Option<MoveProfile> {
        /// Rounding of a time that was worked out from the same limits.
        const ROUNDING: f64 = 1e-9;
        let way = turn_rad.abs();
        if way == 0.0 {
            return Some(MoveProfile::default());
        }
        if move_s < self.least_time_s(way) * (1.0 - ROUNDING) {
            return None;
        }
        let room = (1.0 - 4.0 * way / (self.acceleration_rad_s2 * move_s * move_s)).max(0.0);
        // The small root of r² − r + c, without the difference of near numbers.
        let c = way / (self.acceleration_rad_s2 * move_s * move_s);
        let ramp_share = (2.0 * c / (1.0 + room.sqrt())).min(0.5);
        Some(MoveProfile::Trapezoid { ramp_share })
    }
}

/// Samples in one swing of a head that is shaken, so that nothing of it is lost between them.
const SAMPLES_PER_SHAKE: f64 = 24.0;
/// Samples in one swing of a vibrator, which is too quick for eyes and cupulae to follow and only presses and pulls
/// debris. What is felt half way between them is taken too: a parabola through three of them is off by 0.1 %, and no
/// end of 9,720 differed from those with twice as many.
const SAMPLES_PER_VIBRATION: f64 = 12.0;
/// Samples in the stop of a throw.
const SAMPLES_PER_STOP: f64 = 12.0;

impl Move {
    /// The longest time between samples that still shows the move's fast parts, s; infinite if it has
    /// none.
    pub(crate) fn longest_step_s(&self, move_s: f64) -> f64 {
        let stop_s = match self.profile {
            MoveProfile::Throw { stop_share } => stop_share * move_s / SAMPLES_PER_STOP,
            MoveProfile::MinimumJerk | MoveProfile::Trapezoid { .. } => f64::INFINITY,
        };
        match self.swing {
            Some(Swing::Shaking { frequency_hz, .. }) => {
                stop_s.min(1.0 / (SAMPLES_PER_SHAKE * frequency_hz))
            }
            Some(Swing::Vibration { frequency_hz, .. }) => {
                stop_s.min(1.0 / (SAMPLES_PER_VIBRATION * frequency_hz))
            }
            None => stop_s,
        }
    }

    /// What swings `since_s` after the start of a move of `move_s`.
    pub(crate) fn swinging(&self, since_s: f64, move_s: f64) -> Swinging {
        let mut now = Swinging::default();
        match self.swing {
            None => {}
            Some(Swing::Shaking {
                axis,
                amplitude_rad,
                frequency_hz,
            }) => {
                let turn = to_and_fro(frequency_hz, since_s, move_s).times(amplitude_rad);
                match axis {
                    ShakeAxis::Yaw => now.yaw = turn,
                    ShakeAxis::Nod => now.nod = turn,
                    ShakeAxis::Track => now.track = turn,
                }
            }
            Some(Swing::Vibration {
                along_in_head,
                amplitude_mm,
                frequency_hz,
            }) => {
                let way = to_and_fro(frequency_hz, since_s, move_s).times(amplitude_mm);
                now.shift = Some((along_in_head.normalize(), way));
            }
        }
        now
    }
}

/// A swing of amplitude 1 that grows over two periods (a quarter of the move at most) and dies down the
/// same way.
///
/// # Equation
/// e(t) sin(2πft), e by minimum jerk from 0 to 1 and back: continuous up to the second derivative.
fn to_and_fro(frequency_hz: f64, since_s: f64, move_s: f64) -> Jet {
    let ramp_s = (2.0 / frequency_hz).min(0.25 * move_s);
    let ramp = |u: f64, rate: f64| {
        let jet = MoveProfile::MinimumJerk.share(u);
        Jet {
            value: jet.value,
            rate: rate * jet.rate,
            acceleration: rate * rate * jet.acceleration,
        }
    };
    let left_s = move_s - since_s;
    let envelope = if since_s < ramp_s {
        ramp(since_s / ramp_s, 1.0 / ramp_s)
    } else if left_s < ramp_s {
        ramp(left_s / ramp_s, -1.0 / ramp_s)
    } else {
        Jet::at_rest(1.0)
    };
    let omega = std::f64::consts::TAU * frequency_hz;
    let (sin, cos) = (omega * since_s).sin_cos();
    envelope.product(Jet {
        value: sin,
        rate: omega * cos,
        acceleration: -omega * omega * sin,
    })
}
