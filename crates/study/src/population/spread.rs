//! How a number is spread over a population, and the value at a share of it.

use serde::{Deserialize, Serialize};
use statrs::distribution::{ContinuousCDF, Normal};

/// A distribution of one number, in the unit that the field's name gives.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Spread {
    /// Always the same.
    Fixed(f64),
    /// Even between two values.
    Even {
        /// The lower one.
        least: f64,
        /// The upper one.
        most: f64,
    },
    /// Normal, cut off at both ends.
    Normal {
        /// Mean before the cut.
        mean: f64,
        /// Standard deviation before the cut.
        sd: f64,
        /// No value is below.
        least: f64,
        /// No value is above.
        most: f64,
    },
    /// As the plausible set of unmeasured numbers that the case was drawn with says, cut off at both ends.
    Plausible {
        /// No value is below.
        least: f64,
        /// No value is above.
        most: f64,
    },
    /// Its logarithm is normal, cut off at both ends.
    LogNormal {
        /// Median before the cut.
        median: f64,
        /// Standard deviation of the natural logarithm before the cut.
        log_sd: f64,
        /// No value is below.
        least: f64,
        /// No value is above.
        most: f64,
    },
}

/// The standard normal deviate below which a share of all lies; the share is kept off 0 and 1, so that it
/// is finite.
pub fn normal_deviate(share: f64) -> f64 {
    // A Sobol number has 24 binary digits; half of the last one is the nearest to 0 or 1 that is told apart.
    const NEAREST: f64 = 1.0 / (1 << 25) as f64;
    Normal::standard().inverse_cdf(share.clamp(NEAREST, 1.0 - NEAREST))
}

impl Spread {
    /// The value below which a share (0 to 1) of the population lies; of what a plausible set decides, even
    /// between its ends.
    pub fn at(self, share: f64) -> f64 {
        match self {
            Spread::Fixed(value) => value,
            Spread::Even { least, most } | Spread::Plausible { least, most } => {
                least + (most - least) * share
            }
            Spread::Normal {
                mean,
                sd,
                least,
                most,
            } => mean + sd * cut_deviate(share, [least - mean, most - mean], sd),
            Spread::LogNormal {
                median,
                log_sd,
                least,
                most,
            } => {
                let ends = [(least / median).ln(), (most / median).ln()];
                (median * (log_sd * cut_deviate(share, ends, log_sd)).exp()).clamp(least, most)
            }
        }
    }

    /// What it is in a case with these numbers: normal in its logarithm where two are given, median and
    /// standard deviation, the number itself where one is. Others stay what they are.
    #[must_use]
    pub(crate) fn with_plausible(self, number: f64, log_sd: Option<f64>) -> Spread {
        match (self, log_sd) {
            (Spread::Plausible { least, most }, Some(log_sd)) => Spread::LogNormal {
                median: number,
                log_sd,
                least,
                most,
            },
            (Spread::Plausible { least, most }, None) => Spread::Fixed(number.clamp(least, most)),
            _ => self,
        }
    }

    /// Least and most value.
    pub fn ends(self) -> [f64; 2] {
        match self {
            Spread::Fixed(value) => [value, value],
            Spread::Even { least, most }
            | Spread::Plausible { least, most }
            | Spread::Normal { least, most, .. }
            | Spread::LogNormal { least, most, .. } => [least, most],
        }
    }

    /// The same cut off to a part of its range.
    #[must_use]
    pub fn within(self, from: f64, to: f64) -> Spread {
        match self {
            Spread::Fixed(_) => self,
            Spread::Even { least, most } => Spread::Even {
                least: least.max(from),
                most: most.min(to),
            },
            Spread::Plausible { least, most } => Spread::Plausible {
                least: least.max(from),
                most: most.min(to),
            },
            Spread::Normal {
                mean,
                sd,
                least,
                most,
            } => Spread::Normal {
                mean,
                sd,
                least: least.max(from),
                most: most.min(to),
            },
            Spread::LogNormal {
                median,
                log_sd,
                least,
                most,
            } => Spread::LogNormal {
                median,
                log_sd,
                least: least.max(from),
                most: most.min(to),
            },
        }
    }

    /// Whether it is a distribution: numbers finite, ends in order, spreads not negative.
    pub(crate) fn is_sound(self) -> bool {
        let [least, most] = self.ends();
        let ordered = least.is_finite() && most.is_finite() && least <= most;
        ordered
            && match self {
                Spread::Fixed(_) | Spread::Even { .. } | Spread::Plausible { .. } => true,
                Spread::Normal { mean, sd, .. } => mean.is_finite() && sd >= 0.0 && sd.is_finite(),
                Spread::LogNormal { median, log_sd, .. } => {
                    median > 0.0
                        && median.is_finite()
                        && log_sd >= 0.0
                        && log_sd.is_finite()
                        && least > 0.0
                }
            }
    }
}

/// The deviate of a normal distribution cut off at both ends; `ends` are distances from its middle.
fn cut_deviate(share: f64, ends: [f64; 2], sd: f64) -> f64 {
    if sd == 0.0 {
        return 0.0;
    }
    let normal = Normal::standard();
    let [low, high] = ends.map(|end| normal.cdf(end / sd));
    let deviate = normal_deviate(low + (high - low) * share);
    deviate.clamp(ends[0] / sd, ends[1] / sd)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_are_those_of_the_distribution() {
        // Normal table: 97.5 % lie below 1.959964, 84.1345 % below 1.
        assert!((normal_deviate(0.975) - 1.959964).abs() < 1e-6);
        let sizes = Spread::LogNormal {
            median: 50.0,
            log_sd: 0.35,
            least: 1e-3,
            most: 1e6,
        };
        assert!((sizes.at(0.5) - 50.0).abs() < 1e-9);
        assert!((sizes.at(0.841345) - 50.0 * 0.35_f64.exp()).abs() < 1e-3);
        let even = Spread::Even {
            least: 2.0,
            most: 6.0,
        };
        assert!((even.at(0.25) - 3.0).abs() < 1e-12);
    }

    #[test]
    fn a_cut_keeps_the_shape_and_its_ends() {
        let cut = Spread::Normal {
            mean: 0.0,
            sd: 1.0,
            least: 0.0,
            most: 40.0,
        };
        // The upper half of a normal distribution: its median is the upper quartile, 0.67449.
        assert!((cut.at(0.5) - 0.67449).abs() < 1e-5);
        assert!(cut.at(0.0) >= 0.0 && cut.at(1.0) <= 40.0);
        let [least, most] = cut.within(1.0, 2.0).ends();
        assert!((least - 1.0).abs() < 1e-12 && (most - 2.0).abs() < 1e-12);
        assert!(!cut.within(3.0, 2.0).is_sound());
        let fixed = Spread::Normal {
            mean: 3.0,
            sd: 0.0,
            least: 0.0,
            most: 9.0,
        };
        assert!((fixed.at(0.99) - 3.0).abs() < 1e-12);
    }
}
