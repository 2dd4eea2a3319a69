//! What to repeat and when: spaced repetition of what was failed, by the FSRS scheduler.

use std::collections::BTreeMap;

use chrono::DateTime;
use rs_fsrs::{Card, FSRS, Rating};
use serde::{Deserialize, Serialize};

/// One card for each thing that can be right or wrong, such as "right posterior: debris on the cupula".
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Reviews {
    cards: BTreeMap<String, Card>,
}

impl Reviews {
    /// Takes in that something was answered right or wrong at a time, s since 1970.
    pub fn answered(&mut self, thing: &str, right: bool, now_unix_s: i64) {
        let Some(now) = DateTime::from_timestamp(now_unix_s, 0) else {
            return;
        };
        let new = Card {
            due: now,
            last_review: now,
            ..Card::default()
        };
        let card = self.cards.get(thing).cloned().unwrap_or(new);
        let rating = if right { Rating::Good } else { Rating::Again };
        let next = FSRS::default().next(card, now, rating).card;
        self.cards.insert(thing.to_owned(), next);
    }

    /// What is due at a time, s since 1970, the longest overdue first.
    pub fn due(&self, now_unix_s: i64) -> Vec<&str> {
        let mut due: Vec<_> = self
            .cards
            .iter()
            .filter(|(_, card)| card.due.timestamp() <= now_unix_s)
            .collect();
        due.sort_by_key(|(_, card)| card.due);
        due.into_iter().map(|(thing, _)| thing.as_str()).collect()
    }

    /// When the first of those comes back that are not due at a time, s since 1970; `None` if all are due.
    pub fn next_due_at_unix_s(&self, now_unix_s: i64) -> Option<i64> {
        let dues = self.cards.values().map(|card| card.due.timestamp());
        dues.filter(|due| *due > now_unix_s).min()
    }

    /// When a thing comes back, s since 1970; `None` if it was never answered.
    pub fn due_at_unix_s(&self, thing: &str) -> Option<i64> {
        self.cards.get(thing).map(|card| card.due.timestamp())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DAY_S: i64 = 86_400;

    #[test]
    fn what_was_failed_comes_back_before_what_was_known() {
        let mut reviews = Reviews::default();
        let now = 1_700_000_000;
        for day in 0..3 {
            reviews.answered("known", true, now + day * DAY_S);
            reviews.answered("failed", false, now + day * DAY_S);
        }
        let later = now + 2 * DAY_S;
        let [known, failed] = ["known", "failed"].map(|t| reviews.due_at_unix_s(t).unwrap());
        assert!(failed < known, "{failed} {known}");
        assert_eq!(reviews.due(later + DAY_S / 2), ["failed"]);
        assert_eq!(reviews.due(now - 1), [""; 0]);
        assert_eq!(reviews.next_due_at_unix_s(now - 1), Some(failed));
        assert_eq!(reviews.next_due_at_unix_s(failed), Some(known));
        assert_eq!(reviews.next_due_at_unix_s(known), None);
        // It is kept as it was.
        let text = serde_json::to_string(&reviews).unwrap();
        let again: Reviews = serde_json::from_str(&text).unwrap();
        assert_eq!(again.due_at_unix_s("known"), Some(known));
    }
}
