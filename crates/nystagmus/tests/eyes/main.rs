//! Eyes of made-up runs: directions, time constants, findings and beats.

mod beats;
mod directions;
mod findings;
mod made_run;
mod time_constants;
mod watching;
