//! Files read and written whole.

mod read;
mod temporary;
mod write;

pub use read::{MAX_BYTES, read_text};
pub use temporary::sweep_temporaries;
pub use write::{check_output, fill_whole, fill_whole_folder, write_error, write_whole};
