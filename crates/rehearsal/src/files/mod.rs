//! Files read and written whole.

mod text;

pub use text::{read_text, write_whole};
