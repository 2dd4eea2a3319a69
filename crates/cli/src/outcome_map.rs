//! `outcome-map`: every treatment against every canal, place and size, as shares over ears.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use comfy_table::Table;
use lithodrome_labyrinth::{Canal, CanalId, Ear};
use lithodrome_rehearsal::{CAUTION, Mechanism};
use lithodrome_study::{
    CaseMixture, MOST_EARS, MapCell, OutcomeMap, RunEnd, SIZE_CLASSES_UM, StudyError, USUAL,
    other_side, outcome_map, shipped_map, treatments, write_map,
};

use crate::output::{Failures, Replacing, fitting, print, wrapped};
use crate::progress::Progress;

/// Options of `outcome-map`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Compute the map anew and write it here; without it, the shipped map is shown
    #[arg(long, value_name = "OUT.csv")]
    out: Option<PathBuf>,
    /// Ears in every cell
    #[arg(long, value_name = "N", default_value_t = 200, requires = "out", value_parser = clap::value_parser!(u32).range(1..=i64::from(MOST_EARS)))]
    ears: u32,
    /// Seed of everything that is drawn
    #[arg(long, value_name = "N", default_value_t = 1, requires = "out")]
    seed: u32,
    /// The shipped case mixture, or the path of one
    #[arg(long, value_name = "NAME", default_value = USUAL, requires = "out")]
    mixture: String,
    /// Threads; as many as there are processors if left out
    #[arg(long, value_name = "N", requires = "out")]
    threads: Option<usize>,
    #[command(flatten)]
    replacing: Replacing,
}

/// Shows the shipped map, or computes one.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    if let Some(out) = &args.out {
        return rebuild(args, out).map_err(|e| Failures::one(&e));
    }
    let map = shipped_map().map_err(|e| Failures::one(&e))?;
    if map.cells.is_empty() {
        let words = "the shipped map is empty: compute one with --out FILE.csv";
        return Err(Failures::one(&words));
    }
    print(&text(&map, Ear::Right))
}

fn rebuild(args: &Args, out: &Path) -> Result<(), StudyError> {
    args.replacing.check(out, &[&args.mixture])?;
    let mixture = CaseMixture::named(&args.mixture, Path::new(""))?;
    let bar = Mutex::new(Progress::new("outcome map"));
    let tell = |done: u32, of: u32| match bar.lock() {
        Ok(mut bar) => bar.tell(f64::from(done) / f64::from(of.max(1))),
        Err(_) => ControlFlow::Continue(()),
    };
    let map = outcome_map(
        &mixture,
        &treatments()?,
        args.ears,
        args.seed,
        args.threads,
        &tell,
    )?;
    write_map(&map, out)
}

/// One table per canal and size class of a map: manoeuvres down, places across; for the left ear the mirror
/// images.
pub(crate) fn text(map: &OutcomeMap, ear: Ear) -> String {
    let mut parts = Vec::new();
    for canal in Canal::ALL {
        for size_um in SIZE_CLASSES_UM {
            let of_table = |cell: &&MapCell| {
                let (from, to) = (cell.size_um, size_um);
                cell.canal == canal && (from.0 - to.0).abs() < 1e-9 && (from.1 - to.1).abs() < 1e-9
            };
            let cells: Vec<&MapCell> = map.cells.iter().filter(of_table).collect();
            if !cells.is_empty() {
                let (name, (from, to)) = (CanalId { ear, canal }.name(), size_um);
                parts.push(format!(
                    "{name}, {from} to {to} µm\n{}\n",
                    table(ear, &cells)
                ));
            }
        }
    }
    let from = &map.provenance;
    let told = format!(
        "Share of {} ears cleared [95 %], in brackets that of switched ears. Cases of the right ear; those of \
         the left are their mirror images. {}; seed {}, version {}.",
        from.ears, from.mixture, from.seed, from.version
    );
    parts.push(format!("{}\n\n{}\n", wrapped(&told), wrapped(CAUTION)));
    parts.join("\n")
}

fn table(ear: Ear, cells: &[&MapCell]) -> Table {
    let mut table = Table::new();
    let places = Mechanism::ALL.map(|place| place.name().to_owned());
    fitting(&mut table).set_header(std::iter::once("manoeuvre".to_owned()).chain(places));
    // Names of files have hyphens where other words have spaces.
    if let Some(names) = table.column_mut(0) {
        names.set_delimiter('-');
    }
    let mut names: Vec<&str> = cells.iter().map(|cell| cell.manoeuvre.as_str()).collect();
    names.dedup();
    for name in names {
        let of_place = |place: Mechanism| {
            let mine = |cell: &&&MapCell| cell.manoeuvre == name && cell.place == place;
            cells
                .iter()
                .find(mine)
                .map_or_else(String::new, |c| words(c))
        };
        let row = Mechanism::ALL.map(of_place);
        let shown = match ear {
            Ear::Right => name.to_owned(),
            Ear::Left => other_side(name),
        };
        table.add_row(std::iter::once(shown).chain(row));
    }
    table
}

fn words(cell: &MapCell) -> String {
    let [cleared, switched] = [RunEnd::Cleared, RunEnd::Switched].map(|end| cell.share(end));
    let percent = |share: f64| (100.0 * share).round();
    let words = format!(
        "{} [{}, {}]",
        percent(cleared.share),
        percent(cleared.low),
        percent(cleared.high)
    );
    if switched.count > 0 {
        return format!("{words} ({})", percent(switched.share));
    }
    words
}
