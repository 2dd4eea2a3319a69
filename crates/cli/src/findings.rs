//! `findings`: published findings and outcomes as shares over many ears.

use clap::ValueEnum;
use comfy_table::Table;
use lithodrome_debris::Engine;
use lithodrome_rehearsal::CAUTION;
use lithodrome_study::{FindingsAsked, FindingsReport, PlausibleSet, findings};

use crate::output::{Failures, fitting, print, print_json};

/// Options of `findings`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Ears
    #[arg(long, value_name = "N", default_value_t = 200, value_parser = clap::value_parser!(u32).range(1..=10_000))]
    ears: u32,
    /// Seed of everything that is drawn
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u32,
    /// Engine of what the eyes show
    #[arg(long, value_enum, default_value = "settling")]
    engine: EngineName,
    /// Take the most central set of unmeasured numbers only, instead of all plausible ones in turn
    #[arg(long)]
    central: bool,
    /// Threads; as many as there are processors if left out
    #[arg(long, value_name = "N")]
    threads: Option<usize>,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

/// Engines by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum EngineName {
    Settling,
    Rigid,
}

/// Computes and shows the findings.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    let set = PlausibleSet::shipped().map_err(|e| Failures::one(&e))?;
    let mut members = set.members();
    if args.central {
        members.truncate(1);
    }
    let report = findings(&FindingsAsked {
        ears: args.ears,
        seed: args.seed,
        engine: match args.engine {
            EngineName::Settling => Engine::Settling,
            EngineName::Rigid => Engine::Rigid,
        },
        members,
        threads: args.threads,
    })
    .map_err(|e| Failures::one(&e))?;
    if args.json {
        return print_json(&report);
    }
    print(&text(&report))
}

fn text(report: &FindingsReport) -> String {
    let mut rows = table(["row", "test, debris", "published", "ours", "other way", ""]);
    for row in &report.rows {
        rows.add_row([
            row.id.replace("row_", ""),
            row.test.clone(),
            format!("{}, {}", row.want, percent_range(row.published)),
            percent(row.share, [row.low, row.high]),
            format!("{:.0} %", 100.0 * row.other_way),
            verdict(row.holds),
        ]);
    }
    let mut outcomes = table(["outcome", "published", "ours", "ears", ""]);
    for row in &report.outcomes {
        let [published, ours] = if row.kind == "share" {
            [
                percent_range(row.published),
                percent(row.value, [row.low, row.high]),
            ]
        } else {
            let [least, most] = row.published;
            [
                format!("{least:.2} to {most:.2}"),
                format!("{:.2} ({:.2} to {:.2})", row.value, row.low, row.high),
            ]
        };
        outcomes.add_row([
            row.what.clone(),
            published,
            ours,
            row.of.to_string(),
            verdict(row.holds),
        ]);
    }
    let hold = report.rows.iter().filter(|r| r.holds).count();
    format!(
        "{rows}\n{hold} of {} findings hold over {} ears, seed {}, {} engine, {} sets of the unmeasured \
         numbers; {} ears failed.\n\n{outcomes}\n\n{CAUTION}\n",
        report.rows.len(),
        report.ears,
        report.seed,
        report.engine,
        report.members,
        report.failed,
    )
}

fn table<const N: usize>(header: [&str; N]) -> Table {
    let mut table = Table::new();
    fitting(&mut table).set_header(header);
    table
}

fn verdict(holds: bool) -> String {
    if holds { "holds" } else { "does not" }.to_owned()
}

fn percent_range([least, most]: [f64; 2]) -> String {
    if most >= 1.0 {
        format!("{:.0} % or more", 100.0 * least)
    } else {
        format!("{:.0} to {:.0} %", 100.0 * least, 100.0 * most)
    }
}

fn percent(share: f64, [low, high]: [f64; 2]) -> String {
    format!(
        "{:.0} % ({:.0} to {:.0})",
        100.0 * share,
        100.0 * low,
        100.0 * high
    )
}
