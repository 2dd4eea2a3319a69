//! The list of steps in a file, given up as soon as there are too many.

use std::fmt;

use serde::de::{Deserializer, Error, SeqAccess, Visitor};

use super::entries::StepEntry;

/// The most steps a scenario may have.
pub(crate) const MAX_STEPS: usize = 10_000;

/// Steps of a file, given up as soon as there are too many.
pub(crate) fn steps_up_to_most<'de, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<Vec<StepEntry>, D::Error> {
    deserializer.deserialize_seq(Steps)
}

struct Steps;

impl<'de> Visitor<'de> for Steps {
    type Value = Vec<StepEntry>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a list of 1 to {MAX_STEPS} steps")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Vec<StepEntry>, A::Error> {
        let mut steps = Vec::new();
        while let Some(step) = list.next_element()? {
            if steps.len() == MAX_STEPS {
                return Err(A::Error::custom(format!(
                    "steps: found more than {MAX_STEPS}, allowed is 1 to {MAX_STEPS}"
                )));
            }
            steps.push(step);
        }
        Ok(steps)
    }
}
