//! Shares of ears that treatments clear, as a plain table that is handed over; this crate computes none.

use lithodrome_labyrinth::{Canal, Ear};
use lithodrome_rehearsal::Mechanism;
use serde::Serialize;

use super::patient::Suspected;

/// A share of ears with its interval, each 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ClearedShare {
    /// The share.
    pub cleared: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end of the interval.
    pub high: f64,
}

impl ClearedShare {
    /// "clears 81 in 100 ears (78 to 84)".
    pub fn words(self) -> String {
        let [cleared, low, high] = [self.cleared, self.low, self.high].map(|s| 100.0 * s);
        format!("clears {cleared:.0} in 100 ears ({low:.0} to {high:.0})")
    }
}

/// What one treatment does to debris at one place of a right canal.
#[derive(Clone, Debug, PartialEq)]
pub struct ShareRow {
    /// Name of the treatment in the library, the right ear's.
    pub manoeuvre: String,
    /// The canal.
    pub canal: Canal,
    /// Where in it.
    pub place: Mechanism,
    /// The share.
    pub share: ClearedShare,
}

/// All that is known; empty if nothing is.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ShareTable {
    /// Its rows, in any order.
    pub rows: Vec<ShareRow>,
}

impl ShareTable {
    /// Share of ears that a treatment clears. Left ears are the mirror images of right ones; debris whose place
    /// is not known counts as in the ampullary arm.
    pub fn of(&self, manoeuvre: &str, suspected: Suspected) -> Option<ClearedShare> {
        let (from, to) = match suspected.ear {
            Ear::Left => ("left-", "right-"),
            Ear::Right => ("", ""),
        };
        let name = manoeuvre
            .strip_prefix(from)
            .map_or_else(|| manoeuvre.to_owned(), |rest| format!("{to}{rest}"));
        let place = suspected.mechanism.unwrap_or(Mechanism::AmpullaryArm);
        let is_it = |row: &&ShareRow| {
            row.manoeuvre == name && row.canal == suspected.canal && row.place == place
        };
        self.rows.iter().find(is_it).map(|row| row.share)
    }
}
