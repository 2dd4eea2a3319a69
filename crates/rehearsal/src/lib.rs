//! One run from a file: scenario format, compile, run, report.
//!
//! [`read_scenario`] gives a [`Scenario`] in people's units; [`compile`] turns it into what the engines
//! take; [`rehearse`] computes it and sums it up in a [`Report`]. Files are read and written here and in
//! no crate before this one.

mod about;
mod anatomy_report;
mod anatomy_sizes;
mod body;
mod check;
mod check_steps;
mod compile;
mod error;
mod expected;
mod library;
mod limit_watch;
mod limits;
mod limits_before;
mod matter;
mod motion;
mod outcome;
mod plan;
mod plane_report;
mod posture;
mod rehearse;
mod report;
mod report_text;
mod scenario;
mod scenario_file;
mod text_file;
mod trace;
pub mod units;

pub use about::{About, Mechanism, Purpose, Target};
pub use anatomy_report::{AnatomyReport, AngleReport, CanalReport, PublishedAngle, anatomy_report};
pub use anatomy_sizes::{PublishedSize, VestibuleReport};
pub use body::{Body, MoveEntry, NeckEntry, NeckLimits, Pace, Shaken, SkullPlace, TrunkEntry};
pub use check::check;
pub use compile::{Compiled, compile, compile_file, compile_in, load_anatomy, load_labyrinth};
pub use error::{FieldError, RehearsalError};
pub use expected::{Case, Load, expected};
pub use library::{LibraryEntry, library, library_entry, library_names};
pub use limit_watch::LimitWatch;
pub use limits::{Limit, LimitBreach, Whose, all_breaches, limit_breaches};
pub use limits_before::breaches_of_angles;
pub use matter::{AdhesionEntry, CupulaEntry, DispersalEntry, Kind, ShapeEntry};
pub use outcome::{Exit, Fate, Outcome, SITS_AFTERWARDS_S, outcome};
pub use plan::Shortfall;
pub use plane_report::{DriveReport, PlaneTilt, drive_to, plane_tilts};
pub use posture::{Posture, Twin, posture_of_angles, posture_of_down};
pub use rehearse::{Rehearsed, rehearse, rehearse_with_progress};
pub use report::{Components, DebrisReport, NystagmusReport, RepeatReport, Report, StepReport};
pub use report_text::{CAUTION, report_text};
pub use scenario::{
    At, CupulaSide, DebrisEntry, EyeCover, EyesEntry, Limits, Scenario, StartAngles, StepEntry,
};
pub use scenario_file::{FORMAT, read_scenario, scenario_from_ron, write_scenario};
pub use trace::write_trace;
