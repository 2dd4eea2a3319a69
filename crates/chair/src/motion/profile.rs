//! How a move goes from rest to rest: the share of the way done over the share of time gone.

use crate::pose::Jet;

/// How a move goes from rest to rest.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub enum MoveProfile {
    /// Minimum jerk, as a practised hand moves (Flash & Hogan 1985, J Neurosci 5:1688, eq. 3).
    #[default]
    MinimumJerk,
    /// Constant acceleration, constant speed, constant deceleration; each ramp takes `ramp_share` of the move.
    Trapezoid {
        /// Share of the move's time spent in each ramp, 0 to 0.5 (0 is left out).
        ramp_share: f64,
    },
    /// A throw: constant acceleration, then an abrupt stop in the last `stop_share` of the move.
    Throw {
        /// Share of the move's time in which it stops, 0 to 1 (both left out).
        stop_share: f64,
    },
}

impl MoveProfile {
    /// Share of the way done at the share `u` (0 to 1) of the time, with its derivatives by `u`.
    ///
    /// # Equation
    /// Minimum jerk: s = 10u³ − 15u⁴ + 6u⁵; the peak speed is 1.875 and the peak acceleration
    /// 10/√3 = 5.7735 times way over time and time squared.
    /// Trapezoid with ramp share r: speed 1/(1 − r) between the ramps, acceleration 1/(r(1 − r)) in them.
    /// Throw with stop share r: the speed rises evenly to 2 and falls evenly to 0, so the acceleration is
    /// 2/(1 − r), then −2/r.
    pub(crate) fn share(self, u: f64) -> Jet {
        match self {
            MoveProfile::MinimumJerk => {
                let w = 1.0 - u;
                Jet {
                    value: u * u * u * (10.0 - u * (15.0 - 6.0 * u)),
                    rate: 30.0 * u * u * w * w,
                    acceleration: 60.0 * u * w * (1.0 - 2.0 * u),
                }
            }
            MoveProfile::Trapezoid { ramp_share: r } => {
                let speed = 1.0 / (1.0 - r);
                let rise = speed / r;
                if u < r {
                    Jet {
                        value: 0.5 * rise * u * u,
                        rate: rise * u,
                        acceleration: rise,
                    }
                } else if u <= 1.0 - r {
                    Jet {
                        value: speed * (u - 0.5 * r),
                        rate: speed,
                        acceleration: 0.0,
                    }
                } else {
                    let w = 1.0 - u;
                    Jet {
                        value: 1.0 - 0.5 * rise * w * w,
                        rate: rise * w,
                        acceleration: -rise,
                    }
                }
            }
            MoveProfile::Throw { stop_share: r } => {
                let w = 1.0 - u;
                if w > r {
                    Jet {
                        value: u * u / (1.0 - r),
                        rate: 2.0 * u / (1.0 - r),
                        acceleration: 2.0 / (1.0 - r),
                    }
                } else {
                    Jet {
                        value: 1.0 - w * w / r,
                        rate: 2.0 * w / r,
                        acceleration: -2.0 / r,
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Flash & Hogan 1985, J Neurosci 5:1688: the minimum-jerk speed peaks at half time with 1.875
    /// way/time; its derivative peaks at u = (3 ∓ √3)/6 with 10/√3.
    #[test]
    fn minimum_jerk_peaks_as_published() {
        let mut speed = 0.0_f64;
        let mut acceleration = 0.0_f64;
        for i in 0..=100_000 {
            let jet = MoveProfile::MinimumJerk.share(f64::from(i) / 100_000.0);
            speed = speed.max(jet.rate);
            acceleration = acceleration.max(jet.acceleration);
        }
        assert!((speed - 1.875).abs() < 1e-9, "{speed}");
        assert!((acceleration - 5.773_502_69).abs() < 1e-7, "{acceleration}");
    }

    #[test]
    fn profiles_start_and_end_at_rest_and_agree_with_their_derivatives() {
        let profiles = [
            MoveProfile::MinimumJerk,
            MoveProfile::Trapezoid { ramp_share: 0.2 },
            MoveProfile::Trapezoid { ramp_share: 0.5 },
            MoveProfile::Throw { stop_share: 0.2 },
        ];
        let h = 1e-6;
        for profile in profiles {
            let (start, end) = (profile.share(0.0), profile.share(1.0));
            assert_eq!((start.value, start.rate), (0.0, 0.0), "{profile:?}");
            assert!(
                (end.value - 1.0).abs() < 1e-15 && end.rate.abs() < 1e-15,
                "{profile:?}"
            );
            for u in [0.05, 0.15, 0.3, 0.45, 0.55, 0.7, 0.85, 0.95] {
                let (before, here, after) =
                    (profile.share(u - h), profile.share(u), profile.share(u + h));
                let rate = (after.value - before.value) / (2.0 * h);
                let acceleration = (after.rate - before.rate) / (2.0 * h);
                assert!((here.rate - rate).abs() < 1e-8, "{profile:?} {u}");
                assert!(
                    (here.acceleration - acceleration).abs() < 1e-7,
                    "{profile:?} {u}"
                );
            }
        }
    }
}
