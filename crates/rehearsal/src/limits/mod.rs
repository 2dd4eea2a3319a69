//! What a patient and a chair allow, and what breaks it.

mod angles;
mod breach;
mod motion;
mod watch;

pub use angles::breaches_of_angles;
pub use breach::{Limit, LimitBreach, Whose, worst_of_each};
pub use motion::{all_breaches, limit_breaches};
pub use watch::LimitWatch;
