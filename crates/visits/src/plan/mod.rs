//! Tomorrow's visit: patients, what fits them, in which order, how long it takes, what the operator lifts.

mod balance;
mod caution;
mod day;
mod fit;
mod order;
mod patient;

pub use balance::{Balance, BodySize, MassCentre, balance, mass_centre};
pub use caution::Caution;
pub use day::{DayPlan, PatientPlan, VisitPlan, plan_from_ron, plan_of};
pub use fit::{Fit, Refusal, fit_of, treatments_for};
pub use order::{PlannedTest, tests_for};
pub use patient::{Patient, PatientError, Suspected};
