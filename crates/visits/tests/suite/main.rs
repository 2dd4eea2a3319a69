//! Sheets, traces, plans and the log, from outside.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod figures;
mod fits;
mod log;
mod plans;
mod reports;
mod sheets;
mod traces;
