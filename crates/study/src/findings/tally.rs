//! From observations in single ears to one number for every outcome.

use std::collections::BTreeMap;

use super::observation::Observation;
use super::published::{Kind, Outcome};
use crate::statistics::Share;

/// What came out of one outcome over many ears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tally {
    /// The share, the median or the value.
    pub value: f64,
    /// Lower end of its interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Standard deviation that comes from so few ears only.
    pub sampling: f64,
    /// Ears that it could be told in.
    pub of: usize,
}

/// Sums up an outcome; `None` where no ear tells of it.
pub fn tally(outcome: &Outcome, all: &[Observation]) -> Option<Tally> {
    of_values(outcome.kind, all.iter().map(|o| &o.values), &outcome.id)
}

/// The share of ears in which a direction was opposite to the published one.
pub(crate) fn other_way(id: &str, all: &[Observation]) -> Option<f64> {
    let shares = all.iter().map(|o| &o.other_way);
    of_values(Kind::Share, shares, id).map(|t| t.value)
}

fn of_values<'a>(
    kind: Kind,
    all: impl Iterator<Item = &'a BTreeMap<String, f64>>,
    id: &str,
) -> Option<Tally> {
    let mut values: Vec<f64> = all.filter_map(|o| o.get(id).copied()).collect();
    if values.is_empty() {
        return None;
    }
    let of = values.len();
    let n = of as f64;
    match kind {
        Kind::Share => {
            let sum: f64 = values.iter().sum();
            let share = Share::of(sum.round() as u64, of as u64);
            // Agresti & Coull 1998, Am Stat 52:119: two more of each keep it off 0.
            let kept = (sum + 2.0) / (n + 4.0);
            Some(Tally {
                value: sum / n,
                low: share.low,
                high: share.high,
                sampling: (kept * (1.0 - kept) / (n + 4.0)).sqrt(),
                of,
            })
        }
        Kind::Median | Kind::Value => {
            values.sort_by(f64::total_cmp);
            let at = |share: f64| values[((share * n) as usize).min(of - 1)];
            let median = 0.5 * (values[(of - 1) / 2] + values[of / 2]);
            // Order statistics: half a standard deviation of the binomial to each side.
            let half = if of > 1 { 0.5 / n.sqrt() } else { 0.0 };
            let [low, high] = [0.5 - 1.96 * half, 0.5 + 1.96 * half].map(|s| s.clamp(0.0, 1.0));
            Some(Tally {
                value: median,
                low: at(low),
                high: at(high),
                sampling: (at(high) - at(low)) / (2.0 * 1.96),
                of,
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::Published;

    fn observations(id: &str, values: &[f64]) -> Vec<Observation> {
        values
            .iter()
            .map(|value| {
                let mut o = Observation::default();
                o.put(id, *value);
                o
            })
            .collect()
    }

    #[test]
    fn a_share_has_its_wilson_interval_and_a_median_its_order_statistics() {
        let published = Published::shipped().unwrap();
        let share = published.outcome("row_1").unwrap();
        let mut ones = vec![1.0; 15];
        ones.extend([0.0; 133]);
        let t = tally(share, &observations("row_1", &ones)).unwrap();
        // Newcombe 1998, Stat Med 17:857, table I, method 3 (from memory): 15 of 148 is .0624 to .1605.
        assert!((t.low - 0.0624).abs() < 5e-5 && (t.high - 0.1605).abs() < 5e-5);
        let median = published.outcome("dix_hallpike_decay_s").unwrap();
        let values: Vec<f64> = (1..=100).map(f64::from).collect();
        let t = tally(median, &observations("dix_hallpike_decay_s", &values)).unwrap();
        assert!((t.value - 50.5).abs() < 1e-12);
        // 50 ± 9.8 of 100 by the normal form of the binomial.
        assert!((t.low - 41.0).abs() < 1e-9 && (t.high - 60.0).abs() < 1e-9);
        assert_eq!(tally(median, &observations("other", &[1.0])), None);
    }
}
