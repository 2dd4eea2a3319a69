//! `check`: scenarios read and compiled, not computed.

use std::path::{Path, PathBuf};

use lithodrome_debris::Engine;
use lithodrome_rehearsal::{
    Compiled, Cost, EarsCache, LimitBreach, RehearsalError, all_breaches, compile_with, folder_of,
    read_scenario,
};
use serde::Serialize;

use crate::output::{Failures, print, print_json};

/// Options of `check`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Scenario files
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Print a JSON list of files
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct FileCheck {
    file: String,
    ok: bool,
    error: Option<String>,
    /// Time that a run takes on one core, about, s, by engine.
    #[serde(skip_serializing_if = "Option::is_none")]
    cost_s: Option<CostOf>,
    /// Limits that it breaks and head directions that a neck does not reach.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    warnings: Vec<String>,
}

#[derive(Clone, Copy, Serialize)]
struct CostOf {
    settling: f64,
    rigid: f64,
}

/// Checks every file.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    let ears = EarsCache::default();
    let checks: Vec<_> = args
        .files
        .iter()
        .map(|file| {
            let compiled = compile_with_file(file, &ears);
            FileCheck {
                file: file.display().to_string(),
                ok: compiled.is_ok(),
                cost_s: compiled.as_ref().ok().map(cost_of),
                warnings: compiled.as_ref().map(warnings).unwrap_or_default(),
                error: compiled.err().map(|e| e.to_string()),
            }
        })
        .collect();
    if args.json {
        print_json(&checks)?;
    } else {
        let sound = checks.iter().filter(|c| c.ok);
        let lines: Vec<_> = sound
            .flat_map(|c| {
                let warnings = c.warnings.iter().map(|w| format!("  {w}\n"));
                std::iter::once(format!("{}: ok{}\n", c.file, cost_words(c.cost_s))).chain(warnings)
            })
            .collect();
        print(&lines.concat())?;
    }
    Failures::none_of(checks.into_iter().filter_map(|c| c.error).collect())
}

fn cost_of(compiled: &Compiled) -> CostOf {
    let [settling, rigid] = [Engine::Settling, Engine::Rigid]
        .map(|engine| Cost::of(&compiled.scenario, engine).seconds);
    CostOf { settling, rigid }
}

/// Nothing of what is done at once.
fn cost_words(cost: Option<CostOf>) -> String {
    match cost {
        Some(cost) if cost.settling > 5.0 => format!(", takes about {:.0} s", cost.settling),
        _ => String::new(),
    }
}

fn compile_with_file(file: &Path, ears: &EarsCache) -> Result<Compiled, RehearsalError> {
    let scenario = read_scenario(file)?;
    compile_with(&scenario, folder_of(file), ears).map_err(|e| e.in_file(file))
}

/// What is known before anything is computed.
fn warnings(compiled: &Compiled) -> Vec<String> {
    let breaches = all_breaches(&compiled.scenario, &compiled.motion);
    let short = compiled.shortfalls.iter().map(ToString::to_string);
    short
        .chain(breaches.iter().map(LimitBreach::sentence))
        .collect()
}
