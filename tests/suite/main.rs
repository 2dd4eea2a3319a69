//! Checks that cross crates.
