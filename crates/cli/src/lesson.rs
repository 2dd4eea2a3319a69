//! `lesson`: a hidden case by its seed, and how a textbook resident does on a row of them.

use std::fmt::Write;
use std::time::Instant;

use clap::ValueEnum;
use lithodrome_rehearsal::{
    Difficulty, HiddenCase, Patience, Patient, Purpose, RehearsalError, cure, offered, test_trials,
};
use lithodrome_study::{ResidentRow, Residents, residents};
use serde::Serialize;

use crate::output::{Failures, print, print_json};

/// Options of `lesson`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Seed of the case
    #[arg(long, value_name = "N")]
    seed: u64,
    /// Difficulty to use instead of the seed's own
    #[arg(long, value_enum)]
    difficulty: Option<DifficultyName>,
    /// Tell what is hidden
    #[arg(long)]
    answer: bool,
    /// Have an automatic resident work through this many cases, from the seed on
    #[arg(long, value_name = "N", conflicts_with = "answer", value_parser = clap::value_parser!(u64).range(1..=1_000_000))]
    cases: Option<u64>,
    /// How the automatic resident waits
    #[arg(long, value_enum, default_value = "textbook", requires = "cases")]
    resident: ResidentName,
    /// Also look for a manoeuvre that clears each of the cases
    #[arg(long, requires = "cases")]
    treat: bool,
    /// Threads; as many as there are processors if left out
    #[arg(long, value_name = "N", requires = "cases")]
    threads: Option<usize>,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

/// Difficulties by name.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum DifficultyName {
    /// What a clinic sees every week
    Common,
    /// Other canals and the cupula
    Uncommon,
    /// Short arms, light cupulae, several canals, vertigo without nystagmus and the reverse
    Rare,
}

impl DifficultyName {
    fn difficulty(self) -> Difficulty {
        match self {
            DifficultyName::Common => Difficulty::Common,
            DifficultyName::Uncommon => Difficulty::Uncommon,
            DifficultyName::Rare => Difficulty::Rare,
        }
    }
}

/// Automatic residents by name.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum ResidentName {
    /// A minute in every position
    Textbook,
    /// On at once
    NeverWaits,
}

impl ResidentName {
    fn patience(self) -> Patience {
        match self {
            ResidentName::Textbook => Patience::TEXTBOOK,
            ResidentName::NeverWaits => Patience::NEVER_WAITS,
        }
    }
}

/// The JSON of one case.
#[derive(Serialize)]
struct CaseDocument {
    seed: u64,
    difficulty: &'static str,
    tests_offered: Vec<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    case: Option<Answer>,
}

/// What is hidden.
#[derive(Serialize)]
struct Answer {
    puzzle: &'static str,
    named: String,
    lesions: Vec<LesionDocument>,
    ear_seed: u64,
    bodies: u64,
    diameter_um: Option<f64>,
    told_by: Vec<&'static str>,
    not_told_by: Vec<&'static str>,
    cleared_by: Option<Vec<&'static str>>,
}

#[derive(Serialize)]
struct LesionDocument {
    ear: &'static str,
    canal: &'static str,
    mechanism: &'static str,
}

/// Tells a case, or works through many.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    if let Some(count) = args.cases {
        return run_many(args, count);
    }
    let case = match args.difficulty {
        Some(difficulty) => HiddenCase::drawn(args.seed, difficulty.difficulty()),
        None => HiddenCase::of_seed(args.seed),
    };
    let document = document(&case, args.answer).map_err(|e| Failures::one(&e))?;
    if args.json {
        return print_json(&document);
    }
    print(&text(&document))
}

fn document(case: &HiddenCase, answer: bool) -> Result<CaseDocument, RehearsalError> {
    let tests = offered(Purpose::Test)?;
    Ok(CaseDocument {
        seed: case.seed,
        difficulty: case.difficulty.name(),
        tests_offered: tests.iter().map(|test| test.name).collect(),
        case: answer.then(|| answer_of(case)).transpose()?,
    })
}

fn answer_of(case: &HiddenCase) -> Result<Answer, RehearsalError> {
    let patient = Patient::with(case)?;
    let (told, not_told): (Vec<_>, Vec<_>) = test_trials(&patient)?
        .into_iter()
        .partition(|trial| trial.best.is_some());
    let lesions = &case.truth.lesions;
    Ok(Answer {
        puzzle: case.puzzle.name(),
        named: case.truth.words(),
        lesions: lesions
            .iter()
            .map(|lesion| LesionDocument {
                ear: lesion.canal.ear.name(),
                canal: lesion.canal.canal.name(),
                mechanism: lesion.kind.name(),
            })
            .collect(),
        ear_seed: case.ear_seed,
        bodies: case.debris.iter().map(|d| u64::from(d.count)).sum(),
        diameter_um: case.debris.first().map(|d| d.diameter_um),
        told_by: told.iter().map(|trial| trial.name).collect(),
        not_told_by: not_told.iter().map(|trial| trial.name).collect(),
        cleared_by: cure(&patient, &[])?.map(|cure| cure.manoeuvres),
    })
}

fn text(document: &CaseDocument) -> String {
    let mut text = format!(
        "Hidden case {} ({}).\nTests offered: {}.\n",
        document.seed,
        document.difficulty,
        document.tests_offered.join(", ")
    );
    if let Some(answer) = &document.case {
        let cleared_by = answer.cleared_by.as_ref().map_or_else(
            || "nothing tried in the library".to_owned(),
            |names| names.join(", then "),
        );
        let _ = writeln!(
            text,
            "Hidden: {}; {}.\nShown by: {}.\nNot shown by: {}.\nCleared by: {cleared_by}.",
            answer.puzzle,
            answer.named,
            list(&answer.told_by),
            list(&answer.not_told_by),
        );
    }
    text
}

fn list(names: &[&str]) -> String {
    if names.is_empty() {
        "none".to_owned()
    } else {
        names.join(", ")
    }
}

/// Shares of a row of cases.
#[derive(Serialize)]
struct Shares {
    first: u64,
    cases: u64,
    resident: String,
    failed: Vec<String>,
    by_difficulty: Vec<Share>,
}

#[derive(Serialize)]
struct Share {
    difficulty: &'static str,
    cases: usize,
    ear_right: usize,
    canal_right: usize,
    all_right: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    cleared_by_library: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    with_longer_holds: Option<usize>,
}

fn run_many(args: &Args, count: u64) -> Result<(), Failures> {
    let asked = Residents {
        first: args.seed,
        count,
        difficulty: args.difficulty.map(DifficultyName::difficulty),
        patience: args.resident.patience(),
        treat: args.treat,
    };
    if args.seed.checked_add(count).is_none() {
        let error = format!(
            "seed: found {}, allowed is at most {} with {count} cases",
            args.seed,
            u64::MAX - count
        );
        return Err(Failures::one(&error));
    }
    let began = Instant::now();
    let rows = residents(asked, args.threads, &|| ()).map_err(|e| Failures::one(&e))?;
    let seconds = began.elapsed().as_secs_f64();
    let (rows, failed): (Vec<_>, Vec<_>) = rows.into_iter().partition(Result::is_ok);
    let rows: Vec<ResidentRow> = rows.into_iter().flatten().collect();
    let failed: Vec<String> = failed
        .into_iter()
        .filter_map(Result::err)
        .map(|(seed, error)| format!("seed {seed}: {error}"))
        .collect();
    let name = args.resident.to_possible_value();
    let shares = Shares {
        first: args.seed,
        cases: count,
        resident: name.map_or_else(String::new, |v| v.get_name().to_owned()),
        by_difficulty: Difficulty::ALL
            .map(|difficulty| share(difficulty, &rows, args.treat))
            .into_iter()
            .filter(|share| share.cases > 0)
            .collect(),
        failed: failed.clone(),
    };
    if args.json {
        print_json(&shares)?;
    } else {
        print(&many_text(&shares, &rows, seconds))?;
    }
    Failures::none_of(failed)
}

fn share(difficulty: Difficulty, rows: &[ResidentRow], treat: bool) -> Share {
    let of: Vec<_> = rows
        .iter()
        .filter(|row| row.case.difficulty == difficulty)
        .collect();
    let count = |right: &dyn Fn(&ResidentRow) -> bool| of.iter().filter(|row| right(row)).count();
    Share {
        difficulty: difficulty.name(),
        cases: of.len(),
        ear_right: count(&|row| row.marks.ear),
        canal_right: count(&|row| row.marks.canal),
        all_right: count(&|row| row.marks.mechanism),
        cleared_by_library: treat.then(|| count(&|row| row.cured_by.is_some())),
        with_longer_holds: treat.then(|| count(&|row| row.long_holds)),
    }
}

fn many_text(shares: &Shares, rows: &[ResidentRow], seconds: f64) -> String {
    let mut text = String::new();
    for row in rows {
        let right = if row.marks.mechanism {
            "correct"
        } else {
            "wrong"
        };
        let treated = match &row.cured_by {
            Some(names) => format!("  cleared by {}", names.join(", then ")),
            None => String::new(),
        };
        let _ = writeln!(
            text,
            "{:>6}  {:<8}  {right:<7}  {}  named: {}{treated}",
            row.seed,
            row.case.difficulty.name(),
            row.case.truth.words(),
            row.named.words()
        );
    }
    for share in &shares.by_difficulty {
        let cleared = share
            .cleared_by_library
            .zip(share.with_longer_holds)
            .map_or_else(String::new, |(n, long)| {
                format!(", {n} cleared by the library ({long} with longer holds)")
            });
        let _ = writeln!(
            text,
            "{}: of {} cases ear correct in {}, canal in {}, all in {}{cleared}.",
            share.difficulty, share.cases, share.ear_right, share.canal_right, share.all_right
        );
    }
    text + &format!("{seconds:.1} s.\n")
}
