//! Shares of a whole, with the interval in which they may lie.

use serde::{Deserialize, Serialize};

use super::effect;

/// 97.5 % of a standard normal distribution lie below.
const Z_95: f64 = 1.959963984540054;

/// So many of so many, and the 95 % interval of the share.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Share {
    /// How many.
    pub count: u64,
    /// Of how many.
    pub of: u64,
    /// Their share, 0 to 1.
    pub share: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end of the interval.
    pub high: f64,
}

impl Share {
    /// The share with its Wilson score interval.
    ///
    /// # Source
    /// Wilson 1927, J Am Stat Assoc 22:209. Of none, the interval is all of 0 to 1.
    pub fn of(count: u64, of: u64) -> Share {
        Share::with_effect(count, of, 1.0)
    }

    /// The share of ears that are so, each with its index: the Wilson interval of as many independent ears
    /// as scatter like these, see [`effect`].
    pub fn of_ears(ears: impl Iterator<Item = (u32, bool)> + Clone) -> Share {
        let effect = effect(ears.clone().map(|(i, so)| (i, f64::from(u8::from(so)))));
        let (count, of) = ears.fold((0, 0), |(count, of), (_, so)| {
            (count + u64::from(so), of + 1)
        });
        Share::with_effect(count, of, effect)
    }

    fn with_effect(count: u64, of: u64, effect: f64) -> Share {
        let (share, low, high) = if of == 0 {
            (0.0, 0.0, 1.0)
        } else {
            let n = of as f64 / effect;
            let share = count as f64 / of as f64;
            let z2 = Z_95 * Z_95;
            let middle = share + z2 / (2.0 * n);
            let half = Z_95 * (share * (1.0 - share) / n + z2 / (4.0 * n * n)).sqrt();
            let scale = 1.0 + z2 / n;
            (
                share,
                ((middle - half) / scale).max(0.0),
                ((middle + half) / scale).min(1.0),
            )
        };
        Share {
            count,
            of,
            share,
            // At none and at all the ends are 0 and 1 exactly.
            low: if count == 0 { 0.0 } else { low },
            high: if count == of { 1.0 } else { high },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn intervals_are_those_in_print() {
        // Newcombe 1998, Stat Med 17:857, table I, method 3 (from memory): 81/263 gives .2553 to .3662, 15/148 .0624 to
        // .1605, 0/20 0 to .1611, 1/29 .0061 to .1718.
        for (count, of, low, high) in [
            (81, 263, 0.2553, 0.3662),
            (15, 148, 0.0624, 0.1605),
            (0, 20, 0.0, 0.1611),
            (1, 29, 0.0061, 0.1718),
        ] {
            let share = Share::of(count, of);
            assert!((share.low - low).abs() < 5e-5, "{share:?}");
            assert!((share.high - high).abs() < 5e-5, "{share:?}");
        }
    }

    #[test]
    fn none_and_all_end_where_they_must() {
        let all = Share::of(7, 7);
        assert!((all.high - 1.0).abs() < f64::EPSILON && all.low > 0.5);
        let of_none = Share::of(0, 0);
        assert!(of_none.low < 1e-12 && of_none.high > 1.0 - 1e-12);
    }
}
