//! Lessons: hidden cases, what a resident does with them, the debrief, practice. No windows.

mod act;
mod diagnosis;
mod difficulty;
mod hidden_case;
mod resident;
mod seen;
mod session;
mod trials;

pub use act::{Act, Look, Part, acts_of, angles_after};
pub use diagnosis::{Diagnosis, Lesion, LesionKind, Marks};
pub use difficulty::Difficulty;
pub use hidden_case::{HiddenCase, Puzzle};
pub use resident::{Patience, named_by, test_acts};
pub use seen::Seen;
pub use session::{HISTORY_S, Patient, SessionRun};
pub use trials::{Cure, TestTrial, bodies_inside, cure, offered, test_trials};
