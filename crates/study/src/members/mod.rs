//! Members: one set of values of the numbers that nobody has measured, and the ears that go with it.

mod band;
mod ear_case;
mod member;
mod planes;
mod plausible_set;
mod trial;
mod unknown;

pub use band::{BAND, plausible_band, verdict_over};
pub(crate) use ear_case::SIDE;
pub use ear_case::{EarCase, MemberEars};
pub use member::Member;
pub use planes::mean_planes;
pub use plausible_set::{PlausibleMember, PlausibleSet};
pub use trial::{Trial, TrialError, motion_of};
pub use unknown::{Range, Unknown};
