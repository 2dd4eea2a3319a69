//! Checks that cross crates.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod accepted_runs;
mod bad_input;
mod behaviour;
mod bodies;
mod engines_on_sequences;
mod eyes_watched;
mod library_files;
mod library_outcomes;
mod lumen_kept;
mod mutated_files;
mod nystagmus_numbers;
mod positional_conditions;
mod positional_findings;
mod same_bits;
mod scenario_files;
mod tidy;
