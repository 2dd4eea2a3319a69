//! Two sequences in the same ears, with the same errors.

use serde::{Deserialize, Serialize};

use crate::runs::{Row, RunEnd};
use crate::statistics::{Difference, Pairs};

/// What a sequence does beside the first one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Comparison {
    /// Name of the sequence.
    pub sequence: String,
    /// Name of the first one.
    pub beside: String,
    /// Ears by what both did.
    pub pairs: Pairs,
    /// Share cleared less that of the first, with its interval.
    pub cleared: Difference,
    /// Share switched less that of the first, with its interval.
    pub switched: Difference,
    /// In words.
    pub words: String,
}

/// Compares two sequences' rows, each in the order of their ears. A failed run is not cleared.
pub fn compare(first: (&str, &[&Row]), second: (&str, &[&Row])) -> Comparison {
    let pairs_of = |has: fn(&Row) -> bool| {
        let pairs = first.1.iter().zip(second.1);
        Pairs::of_ears(pairs.map(|(a, b)| (a.index, has(a), has(b))))
    };
    let (pairs, cleared) = pairs_of(Row::is_cleared);
    Comparison {
        sequence: second.0.to_owned(),
        beside: first.0.to_owned(),
        pairs,
        cleared,
        switched: pairs_of(|row| row.is(RunEnd::Switched)).1,
        words: words(&cleared),
    }
}

fn words(cleared: &Difference) -> String {
    let percent = |share: f64| format!("{:+.1}", 100.0 * share);
    let Difference {
        difference,
        low,
        high,
    } = *cleared;
    let interval = format!(
        "{} of 100 ears [{}, {}]",
        percent(difference),
        percent(low),
        percent(high)
    );
    if !cleared.is_shown() {
        format!("no difference shown: {interval}")
    } else if difference > 0.0 {
        format!("clears more: {interval}")
    } else {
        format!("clears fewer: {interval}")
    }
}
