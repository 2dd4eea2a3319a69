//! Shares, differences, quantiles and sensitivity, with their intervals.

mod first_order;
mod paired;
mod quantile;
mod replicates;
mod wilson;

pub use first_order::first_order;
pub use paired::{Difference, Pairs};
pub use quantile::Quantiles;
pub use replicates::{REPLICATES, effect};
pub use wilson::Share;
