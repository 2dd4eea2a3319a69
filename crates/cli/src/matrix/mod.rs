//! `matrix`: every manoeuvre of the library against every canal, side and mechanism.

use std::path::Path;
use std::sync::Mutex;

use clap::ValueEnum;
use comfy_table::Table;
use lithodrome_labyrinth::{Canal, CanalId, Ear};
use lithodrome_rehearsal::{
    CAUTION, Case, FORMAT, LibraryEntry, Load, Mechanism, Outcome, Purpose, SITS_AFTERWARDS_S,
    Verdict, library, load_labyrinth, units::tidy,
};
use lithodrome_study::{Cell, all_cases, matrix};
use serde::Serialize;

mod over_ears;

use crate::output::{Failures, fitting, print, print_json, wrapped};
use crate::progress::Progress;

/// Options of `matrix`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// A shipped anatomy, or the path of an anatomy file (.ron) or a centre-line table (.csv)
    #[arg(long, value_name = "NAME", default_value = "typical-adult")]
    anatomy: String,
    /// Only manoeuvres whose file has all of these words
    #[arg(long, value_name = "WORDS")]
    words: Option<String>,
    /// Only cases of this ear
    #[arg(long, value_enum)]
    ear: Option<EarName>,
    /// Only cases of this canal
    #[arg(long, value_enum)]
    canal: Option<CanalName>,
    /// Bodies of debris in every case
    #[arg(long, value_name = "N", default_value_t = Load::default().count)]
    count: u32,
    /// Diameter of each, µm
    #[arg(long, value_name = "UM", default_value_t = Load::default().diameter_um)]
    diameter_um: f64,
    /// Pull at which debris on a cupula lets go, in multiples of its weight; never if left out
    #[arg(long, value_name = "G")]
    attachment_g: Option<f64>,
    /// Threads; as many as there are processors if left out
    #[arg(long, value_name = "N")]
    threads: Option<usize>,
    /// Shares over the ears of the shipped map, at once, in the place of one ear that is computed
    #[arg(long, conflicts_with_all = ["anatomy", "count", "attachment_g", "threads"])]
    over_ears: bool,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

/// Ears by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum EarName {
    Right,
    Left,
}

/// Canals by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum CanalName {
    Anterior,
    Lateral,
    Posterior,
}

impl Args {
    fn wants(&self, id: CanalId) -> bool {
        let ear = self.ear.is_none_or(|e| match e {
            EarName::Right => id.ear == Ear::Right,
            EarName::Left => id.ear == Ear::Left,
        });
        let canal = self.canal.is_none_or(|c| match c {
            CanalName::Anterior => id.canal == Canal::Anterior,
            CanalName::Lateral => id.canal == Canal::Lateral,
            CanalName::Posterior => id.canal == Canal::Posterior,
        });
        ear && canal
    }
}

#[derive(Serialize)]
struct Document {
    format: u32,
    version: &'static str,
    anatomy: String,
    count: u32,
    diameter_um: f64,
    attachment_g: Option<f64>,
    sits_afterwards_s: f64,
    cells: Vec<CellReport>,
}

#[derive(Serialize)]
struct CellReport {
    manoeuvre: &'static str,
    ear: &'static str,
    canal: &'static str,
    mechanism: &'static str,
    intended: bool,
    outcome: &'static str,
    out: usize,
    of: usize,
    switched_to: Vec<String>,
    /// From 1; one more than the manoeuvre has if it was while the patient sat afterwards.
    exit_step: Option<usize>,
    exit_step_name: Option<String>,
    exit_s: Option<f64>,
    spare_s: Option<f64>,
    gained_mm: Option<f64>,
    sitting_clears: bool,
}

/// Computes and shows the matrix.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    if args.over_ears {
        return over_ears::run(args);
    }
    let labyrinth = load_labyrinth(&args.anatomy, Path::new("")).map_err(|e| Failures::one(&e))?;
    let manoeuvres = manoeuvres(args)?;
    let load = Load {
        count: args.count,
        diameter_um: args.diameter_um,
        attachment_g: args.attachment_g,
    };
    let cases: Vec<Case> = all_cases(load)
        .into_iter()
        .filter(|case| args.wants(case.canal))
        .collect();
    let progress = Mutex::new(Progress::new("matrix"));
    let tell = |done: usize, of: usize| {
        if let Ok(mut progress) = progress.lock() {
            let _ = progress.tell(done as f64 / of as f64);
        }
    };
    let cells = matrix(&labyrinth, &manoeuvres, &cases, args.threads, &tell)
        .map_err(|e| Failures::one(&e))?;
    drop(progress);
    if args.json {
        return print_json(&Document {
            format: FORMAT,
            version: env!("CARGO_PKG_VERSION"),
            anatomy: labyrinth.name.clone(),
            count: load.count,
            diameter_um: load.diameter_um,
            attachment_g: load.attachment_g,
            sits_afterwards_s: SITS_AFTERWARDS_S,
            cells: cells.into_iter().map(report).collect(),
        });
    }
    print(&text(&cells, &manoeuvres, &cases))
}

fn manoeuvres(args: &Args) -> Result<Vec<LibraryEntry>, Failures> {
    let words = args.words.as_deref().unwrap_or_default();
    let found: Vec<_> = library()
        .map_err(|e| Failures::one(&e))?
        .into_iter()
        .filter(|entry| entry.about.kind == Purpose::Treatment && entry.has_words(words))
        .collect();
    if found.is_empty() {
        let message = format!("--words: no manoeuvre of the library has \"{words}\"");
        return Err(Failures::one(&message));
    }
    Ok(found)
}

fn report(cell: Cell) -> CellReport {
    let Outcome {
        judged,
        sitting_clears,
    } = cell.outcome;
    let exit = judged.exit;
    CellReport {
        manoeuvre: cell.manoeuvre,
        ear: cell.case.canal.ear.name(),
        canal: cell.case.canal.canal.name(),
        mechanism: cell.case.mechanism.name(),
        intended: cell.intended,
        outcome: judged.verdict.name(),
        out: judged.out,
        of: judged.of,
        switched_to: judged.switched_to,
        exit_step: exit.as_ref().map(|e| e.step + 1),
        exit_s: exit.as_ref().map(|e| tidy(e.time_s)),
        spare_s: exit.as_ref().map(|e| tidy(e.spare_s)),
        exit_step_name: exit.map(|e| e.step_name),
        gained_mm: judged.gained_mm.map(tidy),
        sitting_clears,
    }
}

/// One table per canal: manoeuvres down, mechanisms across.
fn text(cells: &[Cell], manoeuvres: &[LibraryEntry], cases: &[Case]) -> String {
    let mut canals: Vec<_> = cases.iter().map(|c| c.canal).collect();
    canals.dedup();
    let mut parts = Vec::new();
    for canal in canals {
        let mut table = Table::new();
        let header =
            std::iter::once(canal.name()).chain(Mechanism::ALL.map(|m| m.name().to_owned()));
        fitting(&mut table).set_header(header);
        // Names of files have hyphens where other words have spaces.
        if let Some(names) = table.column_mut(0) {
            names.set_delimiter('-');
        }
        for manoeuvre in manoeuvres {
            let mine = cells
                .iter()
                .filter(|c| c.case.canal == canal && c.manoeuvre == manoeuvre.name);
            let words = mine.map(|c| cell_words(c, manoeuvre.scenario.steps.len()));
            table.add_row(std::iter::once(manoeuvre.name.to_owned()).chain(words));
        }
        parts.push(format!("{table}\n"));
    }
    let legend = format!(
        "* meant for this canal and place. cleared 5/19 s: the last debris leaves in step 5 and 19 s of its hold are to spare. After the last step the patient sits for \
         {SITS_AFTERWARDS_S:.0} s. † sitting alone clears it too."
    );
    parts.push(format!("{}\n\n{}\n", wrapped(&legend), wrapped(CAUTION)));
    parts.join("\n")
}

fn cell_words(cell: &Cell, steps: usize) -> String {
    let outcome = &cell.outcome;
    let judged = &outcome.judged;
    let mut words = match judged.verdict {
        Verdict::Cleared => match &judged.exit {
            Some(exit) if exit.step >= steps => "cleared, sitting".to_owned(),
            Some(exit) => format!("cleared {}/{:.0}\u{a0}s", exit.step + 1, exit.spare_s),
            None => "cleared".to_owned(),
        },
        Verdict::Switched => format!("switched to {}", judged.switched_to.join(", ")),
        Verdict::MovedOn if judged.out > 0 => format!("{} of {} out", judged.out, judged.of),
        Verdict::Unchanged => "–".to_owned(),
        verdict => verdict.name().to_owned(),
    };
    if outcome.sitting_clears {
        words.push_str(" †");
    }
    if cell.intended {
        words.push_str(" *");
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_of_the_whole_library_fits_a_terminal() {
        let manoeuvres: Vec<_> = library().unwrap();
        let cases = all_cases(Load::default());
        let text = text(&[], &manoeuvres, &cases);
        let widest = text.lines().map(|line| line.chars().count()).max();
        assert!(
            widest.unwrap() <= usize::from(crate::output::WIDTH),
            "{widest:?}:\n{text}"
        );
        assert!(text.lines().count() > manoeuvres.len());
    }
}
