//! Files read and written whole.

mod read;
mod write;

pub use read::{MAX_BYTES, read_text};
pub use write::{check_output, sweep_temporaries, write_whole};
