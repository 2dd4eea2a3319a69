//! Many runs, on as many threads as there are; the same results whatever their number.

mod matrix;

pub use matrix::{Cell, StudyError, all_cases, matrix};
