//! How ears, debris and operators differ, and one case of it by its index.

mod case_mixture;
mod draw;
mod ear_mixture;
mod operator;
mod spread;
mod unit_point;

pub use case_mixture::{
    CaseMixture, CountShare, DebrisMixture, OperatorNoise, PlaceShare, StartPlace, USUAL,
};
pub use draw::{CaseDraw, Population};
pub use ear_mixture::{EarMixture, PlaneShare};
pub use spread::{Spread, normal_deviate};
pub use unit_point::{MOST_EARS, UnitPoint};
