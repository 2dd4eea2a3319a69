//! Computing on other threads, and what comes back for the window to show.

pub mod aside;
pub mod beside;
pub mod ears;
pub mod library;
pub mod load;
pub mod plausible_ears;
pub mod progress;
pub mod stage_data;
pub mod worker;
