//! Tomorrow's visit: patients, what fits them, in which order, how long it takes, what the operator lifts.

mod balance;
mod bedside;
mod caution;
mod course;
mod day;
mod day_text;
mod fit;
mod order;
mod patient;
mod refusal;
mod share;
mod slowed;

pub use balance::{Balance, BodySize, MassCentre, balance, mass_centre};
pub use caution::Caution;
pub use course::{Course, SideEffect};
pub use day::{DayPlan, PatientPlan, VisitPlan, plan_from_ron, plan_of, write_plan};
pub use fit::{Fit, fit_of, treatments_for};
pub use order::{PlannedTest, tests_for};
pub use patient::{Patient, PatientError, Suspected};
pub use refusal::Refusal;
pub use share::{ClearedShare, ShareRow, ShareTable};
pub use slowed::Slowed;
