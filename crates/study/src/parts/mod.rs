//! A study in parts, on one machine or many: each part keeps its rows, and all together give the very
//! bytes that one machine gives.

mod merge;
mod part;
mod row_line;

pub use merge::{merge, part_files};
pub use part::{PartFile, PartNumber, head_line, run_part};
