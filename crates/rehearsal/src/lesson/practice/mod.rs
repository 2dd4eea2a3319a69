//! Practice: reading eyes, what to repeat and when, a learner's progress, a class's set of cases.

mod agreement;
mod class_set;
mod learner;
mod reading;
mod results;
mod reviews;

pub use agreement::{cohen_kappa, kappa_over_time};
pub use class_set::{ClassCase, ClassSet, read_class_set, write_class_set};
pub use learner::{Learner, read_learner, write_learner};
pub use reading::{EyeWord, RecordedPart, Recording, recording};
pub use results::{
    LearnerSum, ResultKind, ResultRow, read_results, share_right_over_time, sums_by_learner,
    write_results,
};
pub use reviews::Reviews;
