//! Many runs: what is asked, and one row for every ear and sequence.

mod case_files;
mod compute;
mod judged;
mod question;
mod row;
mod run_end;
mod sequence;

pub use case_files::write_case;
pub use compute::{Progress, compute};
pub(crate) use compute::{pool, rows_of_ear};
pub use question::{Judging, Question, scenario_of};
pub use row::{Ended, Row};
pub use run_end::RunEnd;
pub(crate) use run_end::canal_of;
pub use sequence::Sequence;
