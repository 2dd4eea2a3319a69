//! Changes to numbers that say so where their source stands.

use crate::{How, Sourced};

/// Whose draw changes the numbers.
pub(crate) struct Redrawn {
    pub(crate) seed: Option<u64>,
}

impl Redrawn {
    /// "drawn with seed 7", or "drawn".
    pub(crate) fn words(&self) -> String {
        match self.seed {
            Some(seed) => format!("drawn with seed {seed}"),
            None => "drawn".to_owned(),
        }
    }

    /// Changes a number.
    pub(crate) fn number<T: Copy>(&self, number: &mut Sourced<T>, change: impl FnOnce(T) -> T) {
        number.value = change(number.value);
        if !number.source.starts_with("drawn") {
            number.source = format!("{} about: {}", self.words(), number.source);
        }
    }

    /// Adds to a number that an anatomy may leave out.
    pub(crate) fn add(&self, number: &mut Option<Sourced<f64>>, from: f64, added: f64) {
        let number = number
            .get_or_insert_with(|| Sourced::new(from, "the anatomy leaves it out", How::Assumed));
        self.number(number, |x| x + added);
    }
}
