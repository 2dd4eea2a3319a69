//! The log of visits: what was seen, done and came of it, in one file of the user's own.

mod code;
mod date;
mod entry;
mod error;
mod export;
mod file;
mod schema;
mod store;

pub use code::{Code, CodeError};
pub use date::{Date, DateError};
pub use entry::{Affected, SeenTest, Treatment, TreatmentEnd, Visit};
pub use error::LogError;
pub use export::{Table, export_log};
pub use file::visit_from_ron;
pub use store::{Log, LoggedVisit, default_log_path};
