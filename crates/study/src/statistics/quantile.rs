//! Quantiles of a column.

use serde::{Deserialize, Serialize};

/// Five quantiles of a number.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Quantiles {
    /// Of how many values.
    pub n: usize,
    /// A twentieth lies below.
    pub q05: f64,
    /// A quarter lies below.
    pub q25: f64,
    /// The median.
    pub q50: f64,
    /// Three quarters lie below.
    pub q75: f64,
    /// All but a twentieth lie below.
    pub q95: f64,
}

impl Quantiles {
    /// Of the values; `None` of none. Between two values it is as far as the share is.
    ///
    /// # Source
    /// Hyndman & Fan 1996, Am Stat 50:361, definition 7.
    pub fn of(values: impl IntoIterator<Item = f64>) -> Option<Quantiles> {
        let mut sorted: Vec<f64> = values.into_iter().filter(|v| v.is_finite()).collect();
        sorted.sort_by(f64::total_cmp);
        let last = sorted.len().checked_sub(1)?;
        let at = |share: f64| {
            let place = share * last as f64;
            let below = place.floor() as usize;
            let above = (below + 1).min(last);
            sorted[below] + (sorted[above] - sorted[below]) * (place - below as f64)
        };
        Some(Quantiles {
            n: sorted.len(),
            q05: at(0.05),
            q25: at(0.25),
            q50: at(0.5),
            q75: at(0.75),
            q95: at(0.95),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_of_few_values_are_those_by_hand() {
        let q = Quantiles::of([4.0, 1.0, 3.0, 2.0, 5.0]).unwrap();
        for (found, by_hand) in [(q.q25, 2.0), (q.q50, 3.0), (q.q75, 4.0)] {
            assert!((found - by_hand).abs() < 1e-12);
        }
        assert!((q.q05 - 1.2).abs() < 1e-12 && (q.q95 - 4.8).abs() < 1e-12);
        assert_eq!(Quantiles::of([]), None);
        assert_eq!(Quantiles::of([f64::NAN, 2.0]).unwrap().n, 1);
    }
}
