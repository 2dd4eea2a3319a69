//! Sequences side by side: in how many more of the same ears one clears, and what each asks of a patient.

mod compare;
mod strain;

pub use compare::{Comparison, compare};
pub use strain::Strain;
