//! `lithodrome-cli`: scenarios rehearsed, checked and measured from a terminal.
//!
//! Exit code 0: done; 1: the work failed, with a message on stderr; 2: wrong usage.

mod anatomy;
mod check;
mod constrain;
mod findings;
mod lesson;
mod matrix;
mod outcome_map;
mod output;
mod pose;
mod progress;
mod rehearse;
mod search;
mod sheet;
mod study;
mod visits;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

/// Rehearse repositioning manoeuvres: a teaching and planning model, not a medical device
#[derive(Debug, Parser)]
#[command(name = "lithodrome-cli", version)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Compute scenarios: what is seen in each hold and where the debris ends
    Rehearse(rehearse::Args),
    /// Measure a labyrinth: canal planes, lengths, angles beside published ones
    Anatomy(anatomy::Args),
    /// Turn chair angles into gravity in the head, or back
    Pose(pose::Args),
    /// Run every manoeuvre against every canal, side and mechanism
    Matrix(matrix::Args),
    /// Show how every treatment does in many ears, case by case, or compute that anew
    OutcomeMap(outcome_map::Args),
    /// Run sequences in many ears: shares with intervals
    Study(study::Args),
    /// Look for a sequence within a patient's limits that clears most ears
    Search(search::Args),
    /// Narrow the unmeasured numbers by published outcomes
    Constrain(constrain::Args),
    /// Published findings and outcomes beside what many ears show
    Findings(findings::Args),
    /// A hidden case by its seed, or a row of them worked through by an automatic resident
    Lesson(lesson::Args),
    /// Read and check scenarios without computing them
    Check(check::Args),
    /// Put a manoeuvre or test on paper: steps, holds, what the eyes should do, when to stop
    Sheet(sheet::Args),
    /// Plan visits, rerun recorded traces, keep the log of visits
    Visits(visits::Args),
}

fn main() -> ExitCode {
    let done = match Cli::parse().command {
        Command::Rehearse(args) => rehearse::run(&args),
        Command::Anatomy(args) => anatomy::run(&args),
        Command::Pose(args) => pose::run(&args),
        Command::Matrix(args) => matrix::run(&args),
        Command::OutcomeMap(args) => outcome_map::run(&args),
        Command::Study(args) => study::run(&args),
        Command::Search(args) => search::run(&args),
        Command::Constrain(args) => constrain::run(&args),
        Command::Findings(args) => findings::run(&args),
        Command::Lesson(args) => lesson::run(&args),
        Command::Check(args) => check::run(&args),
        Command::Sheet(args) => sheet::run(&args),
        Command::Visits(args) => visits::run(&args),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(failures) => {
            for failure in &failures.0 {
                output::tell_error(failure);
            }
            ExitCode::from(1)
        }
    }
}
