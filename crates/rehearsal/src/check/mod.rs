//! Whether everything in a scenario is in its range, before anything is built of it.

mod about;
mod matter;
mod range;
mod recorded;
mod scenario;
mod steps;

pub use scenario::check;
