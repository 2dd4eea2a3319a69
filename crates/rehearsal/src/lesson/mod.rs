//! Lessons: hidden cases, what a resident does with them, the debrief, practice. No windows.

mod act;
mod case_ears;
mod debrief;
mod debrief_text;
mod difficulty;
mod driven_acts;
mod hidden_case;
mod missed;
mod plane_error;
mod practice;
mod record;
mod resident;
mod score;
mod seen;
mod session;
mod told;
mod trials;

pub use act::{Act, Look, Part, acts_of, angles_after};
pub use debrief::{debrief, good_run};
pub use difficulty::Difficulty;
pub use driven_acts::acts_of_drive;
pub use hidden_case::{HiddenCase, Puzzle};
pub use missed::Missed;
pub use plane_error::PlaneError;
pub use practice::*;
pub use record::{Answer, SessionRecord};
pub use resident::{Patience, named_by, test_acts};
pub use seen::Seen;
pub use session::{HISTORY_S, Patient, SessionRun};
pub use told::{Debrief, GoodRun, Score, ScoreLine};
pub use trials::{Cure, TestTrial, bodies_inside, cure, offered, test_trials};
