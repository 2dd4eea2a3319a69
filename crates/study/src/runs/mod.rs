//! Many runs: what is asked, and one row for every ear and sequence.

mod case_files;
mod compute;
mod row;
mod run_end;
mod sequence;

pub use case_files::write_case;
pub(crate) use compute::pool;
pub use compute::{Progress, Question, compute, scenario_of};
pub use row::{Ended, Row};
pub(crate) use run_end::canal_of;
pub use run_end::{RunEnd, body_end, upright_divide_mm};
pub use sequence::Sequence;
