//! Text of others: made safe to show, and what is wrong with a file in words.

mod parser;
mod plain;

pub use parser::{nearest_word, parser_words};
pub use plain::{QUOTED, escaped, is_unsafe, quoted};
