//! Figures from the log: how many have it, and how many are cured.

mod interval;
mod mixed;
mod period;
mod summary;

pub use interval::{Interval, Proportion, exact, wilson};
pub use mixed::{HomesModel, homes_model};
pub use period::{PeriodPrevalence, period_prevalence};
pub use summary::{Figures, HomeFigures, Sessions, figures_of, figures_svg};
