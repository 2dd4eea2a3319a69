//! The difference of two shares that were found on the same ears.

use serde::{Deserialize, Serialize};

use super::{Share, effect};

/// How two sequences did on the same draws, and how far that scatters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Pairs {
    /// Both succeeded.
    pub both: u64,
    /// Only the first did.
    pub first_only: u64,
    /// Only the second did.
    pub second_only: u64,
    /// Neither did.
    pub neither: u64,
}

/// Share of the second less that of the first, with its 95 % interval.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Difference {
    /// The difference, −1 to 1.
    pub difference: f64,
    /// Lower end of its interval.
    pub low: f64,
    /// Upper end of its interval.
    pub high: f64,
}

impl Difference {
    /// Whether the interval leaves out no difference at all.
    pub fn is_shown(&self) -> bool {
        self.low > 0.0 || self.high < 0.0
    }
}

impl Pairs {
    /// From pairs of (first succeeded, second succeeded).
    pub fn of(pairs: impl IntoIterator<Item = (bool, bool)>) -> Pairs {
        let mut all = Pairs::default();
        for pair in pairs {
            match pair {
                (true, true) => all.both += 1,
                (true, false) => all.first_only += 1,
                (false, true) => all.second_only += 1,
                (false, false) => all.neither += 1,
            }
        }
        all
    }

    /// How many pairs.
    pub fn n(&self) -> u64 {
        self.both + self.first_only + self.second_only + self.neither
    }

    /// From ears with their index, and the difference's interval as wide as they scatter, see [`effect`].
    pub fn of_ears(ears: impl Iterator<Item = (u32, bool, bool)> + Clone) -> (Pairs, Difference) {
        let one = |so: bool| f64::from(u8::from(so));
        let effect = effect(ears.clone().map(|(i, a, b)| (i, one(b) - one(a))));
        let pairs = Pairs::of(ears.map(|(_, a, b)| (a, b)));
        let plain = pairs.difference();
        let wider = |end: f64| plain.difference + effect.sqrt() * (end - plain.difference);
        let difference = Difference {
            difference: plain.difference,
            low: wider(plain.low).max(-1.0),
            high: wider(plain.high).min(1.0),
        };
        (pairs, difference)
    }

    /// Second less first: squared distances of the Wilson limits, less what both share.
    ///
    /// # Source
    /// Newcombe 1998, Stat Med 17:2635, method 10 (from memory), with his continuity correction of the
    /// correlation where that is positive.
    pub fn difference(&self) -> Difference {
        let n = self.n();
        if n == 0 {
            return Difference {
                difference: 0.0,
                low: -1.0,
                high: 1.0,
            };
        }
        let first = Share::of(self.both + self.first_only, n);
        let second = Share::of(self.both + self.second_only, n);
        let phi = self.correlation();
        let difference = (self.second_only as f64 - self.first_only as f64) / n as f64;
        let reach = |a: f64, b: f64| (a * a - 2.0 * phi * a * b + b * b).max(0.0).sqrt();
        Difference {
            difference,
            low: difference - reach(second.share - second.low, first.high - first.share),
            high: difference + reach(second.high - second.share, first.share - first.low),
        }
    }

    /// How far both go together, −1 to 1, corrected for continuity; 0 where one never differs.
    fn correlation(&self) -> f64 {
        let [a, b, c, d] =
            [self.both, self.first_only, self.second_only, self.neither].map(|x| x as f64);
        let product = (a + b) * (c + d) * (a + c) * (b + d);
        if product == 0.0 {
            return 0.0;
        }
        let together = a * d - b * c;
        let corrected = if together > 0.0 {
            (together - 0.5 * (a + b + c + d)).max(0.0)
        } else {
            together
        };
        corrected / product.sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_twice_shows_no_difference() {
        let difference = Pairs::of((0..100).map(|i| (i < 60, i < 60))).difference();
        assert!(difference.difference.abs() < 1e-12);
        assert!(!difference.is_shown() && difference.low < 0.0 && difference.high > 0.0);
    }

    #[test]
    fn an_exchange_of_both_changes_the_sign() {
        let pairs = Pairs {
            both: 40,
            first_only: 5,
            second_only: 20,
            neither: 35,
        };
        let exchanged = Pairs {
            first_only: 20,
            second_only: 5,
            ..pairs
        };
        let (one, other) = (pairs.difference(), exchanged.difference());
        assert!((one.difference - 0.15).abs() < 1e-12);
        assert!((one.low + other.high).abs() < 1e-12 && (one.high + other.low).abs() < 1e-12);
        assert!(one.is_shown());
    }

    #[test]
    fn pairs_narrow_the_interval() {
        // The same shares, hand in hand and independent: .5 and .6 of 100.
        let hand_in_hand = Pairs {
            both: 50,
            first_only: 0,
            second_only: 10,
            neither: 40,
        };
        let independent = Pairs {
            both: 30,
            first_only: 20,
            second_only: 30,
            neither: 20,
        };
        let width = |p: Pairs| p.difference().high - p.difference().low;
        assert!(width(hand_in_hand) < 0.6 * width(independent));
        // Independent: Newcombe 1998, Stat Med 17:873, method 10 for two samples is the case phi = 0.
        let difference = independent.difference();
        let (first, second) = (Share::of(50, 100), Share::of(60, 100));
        let low =
            0.1 - ((second.share - second.low).powi(2) + (first.high - first.share).powi(2)).sqrt();
        assert!((difference.low - low).abs() < 1e-12);
    }
}
