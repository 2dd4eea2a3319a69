//! What positional tests speak for, by the published rules, from the eyes alone: shared by a resident of the lesson
//! and by the answer of a computed test.

mod answer;
mod diagnosis;
mod eyes;
mod form;
mod test_position;

pub use answer::{NamedCanal, PositionSeen, TestAnswer, test_answer};
pub use diagnosis::{Diagnosis, Lesion, LesionKind, Marks};
pub(crate) use eyes::{Eyes, Watched};
pub use form::form_words;
pub use test_position::TestPosition;
