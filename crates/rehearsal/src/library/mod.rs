//! The manoeuvres and tests that are shipped.

mod entries;

pub use entries::{LibraryEntry, library, library_entry, library_names};
