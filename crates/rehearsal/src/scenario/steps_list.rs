//! The list of steps in a file, given up as soon as there are too many.

use std::fmt;
use std::marker::PhantomData;

use serde::de::{Deserialize, Deserializer, Error, SeqAccess, Visitor};

/// The most steps a scenario may have.
pub(crate) const MAX_STEPS: usize = 10_000;

/// Steps of a file, given up as soon as there are too many.
pub(crate) fn steps_up_to_most<'de, D: Deserializer<'de>, Step: Deserialize<'de>>(
    deserializer: D,
) -> Result<Vec<Step>, D::Error> {
    deserializer.deserialize_seq(Steps(PhantomData))
}

struct Steps<Step>(PhantomData<Step>);

impl<'de, Step: Deserialize<'de>> Visitor<'de> for Steps<Step> {
    type Value = Vec<Step>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a list of 1 to {MAX_STEPS} steps")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Vec<Step>, A::Error> {
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
