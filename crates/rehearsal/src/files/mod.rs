//! Files read and written whole.

mod text;

pub(crate) use text::{read_text, write_whole};
