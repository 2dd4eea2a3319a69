//! Intervals of 95 % for a share.

use serde::Serialize;
use statrs::distribution::{Beta, ContinuousCDF};

/// Two-sided 95 % of a standard normal.
const Z: f64 = 1.959_963_984_540_054;

/// Lower and upper end of an interval of 95 %.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// A count with its share and both intervals.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Proportion {
    /// How many.
    pub count: u64,
    /// Of how many.
    pub of: u64,
    /// The share; `None` of nobody.
    pub share: Option<f64>,
    /// Wilson's score interval.
    pub wilson: Interval,
    /// Clopper's and Pearson's exact interval, the cautious one.
    pub exact: Interval,
}

impl Proportion {
    /// So many of so many; a count above the number is taken as the number.
    pub fn new(count: u64, of: u64) -> Proportion {
        let count = count.min(of);
        Proportion {
            count,
            of,
            share: (of > 0).then(|| count as f64 / of as f64),
            wilson: wilson(count, of),
            exact: exact(count, of),
        }
    }
}

/// Wilson's score interval without continuity correction (method 3 of Newcombe 1998, Stat Med 17:857);
/// 0 to 1 of nobody.
///
/// # Equation
/// (2np + z² ± z √(z² + 4np(1 − p))) / (2(n + z²))
pub fn wilson(count: u64, of: u64) -> Interval {
    if of == 0 {
        return Interval {
            low: 0.0,
            high: 1.0,
        };
    }
    let n = of as f64;
    let p = count.min(of) as f64 / n;
    let root = Z * (Z * Z + 4.0 * n * p * (1.0 - p)).sqrt();
    let end = |root: f64| ((2.0 * n * p + Z * Z + root) / (2.0 * (n + Z * Z))).clamp(0.0, 1.0);
    Interval {
        low: if count == 0 { 0.0 } else { end(-root) },
        high: if count >= of { 1.0 } else { end(root) },
    }
}

/// The exact interval of Clopper & Pearson (method 5 of Newcombe 1998); 0 to 1 of nobody.
///
/// # Equation
/// Quantiles of Beta(k, n − k + 1) at 0.025 and of Beta(k + 1, n − k) at 0.975.
pub fn exact(count: u64, of: u64) -> Interval {
    let (k, n) = (count.min(of) as f64, of as f64);
    let quantile = |a: f64, b: f64, q: f64| Beta::new(a, b).ok().map(|beta| beta.inverse_cdf(q));
    // A beta distribution without one of its parameters stands for an end of the range.
    Interval {
        low: quantile(k, n - k + 1.0, 0.025).unwrap_or(0.0),
        high: quantile(k + 1.0, n - k, 0.975).unwrap_or(1.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Newcombe 1998, Stat Med 17:857, table I, methods 3 and 5 (to four decimals; from memory, and the
    /// same by scipy 1.x `binomtest(...).proportion_ci`, see tests/suite/data/figures_reference.py).
    #[test]
    fn published_worked_examples_come_out() {
        let table = [
            (81, 263, [0.2553, 0.3662], [0.2527, 0.3676]),
            (15, 148, [0.0624, 0.1605], [0.0578, 0.1617]),
            (0, 20, [0.0000, 0.1611], [0.0000, 0.1684]),
            (1, 29, [0.0061, 0.1718], [0.0009, 0.1776]),
        ];
        for (k, n, score, cautious) in table {
            for (found, [low, high]) in [(wilson(k, n), score), (exact(k, n), cautious)] {
                assert!((found.low - low).abs() < 6e-5, "{k} of {n}: {found:?}");
                assert!((found.high - high).abs() < 6e-5, "{k} of {n}: {found:?}");
            }
        }
    }

    #[test]
    fn ends_of_the_range_are_whole() {
        let nobody = Proportion::new(0, 0);
        assert_eq!(nobody.share, None);
        assert_eq!(
            nobody.exact,
            Interval {
                low: 0.0,
                high: 1.0
            }
        );
        // All of 20: the mirror image of none of 20.
        let all = Proportion::new(20, 20);
        assert!((all.wilson.low - (1.0 - 0.1611)).abs() < 6e-5);
        assert!((all.wilson.high - 1.0).abs() < 1e-12 && (all.exact.high - 1.0).abs() < 1e-12);
    }
}
