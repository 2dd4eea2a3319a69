//! `constrain`: which values of the unmeasured numbers published outcomes leave.

use std::ops::ControlFlow;
use std::path::PathBuf;
use std::sync::Mutex;

use comfy_table::{Table, presets::UTF8_FULL_CONDENSED};
use lithodrome_rehearsal::{CAUTION, write_whole};
use lithodrome_study::{
    ConstrainAsked, ConstrainSummary, Evaluation, Ledger, MemberEars, PlausibleSet, Published,
    StudyError, constrain, outcomes_svg, plausible_set, ranges_svg, summarise,
};

use crate::output::{Failures, print, print_json};
use crate::progress::Progress;

/// Options of `constrain`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Members of each wave
    #[arg(long, value_name = "N,N,N", value_delimiter = ',', default_values_t = [1024, 512, 512])]
    members: Vec<u32>,
    /// Ears of a member that is looked at to the end
    #[arg(long, value_name = "N", default_value_t = 24, value_parser = clap::value_parser!(u32).range(6..=1000))]
    ears: u32,
    /// Seed of everything that is drawn
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u32,
    /// Threads; as many as there are processors if left out
    #[arg(long, value_name = "N")]
    threads: Option<usize>,
    /// Folder for what is found; a run that was broken off goes on from there
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

/// Runs the waves and sums them up.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    let summary = constrained(args).map_err(|e| Failures::one(&e))?;
    if args.json {
        return print_json(&summary);
    }
    print(&text(&summary))
}

fn constrained(args: &Args) -> Result<ConstrainSummary, StudyError> {
    let asked = ConstrainAsked {
        members: args.members.clone(),
        ears: args.ears,
        seed: args.seed,
        threads: args.threads,
    };
    let write_error = |path: &std::path::Path, e: &dyn std::fmt::Display| StudyError::Write {
        path: path.to_owned(),
        reason: e.to_string(),
    };
    std::fs::create_dir_all(&args.out).map_err(|e| write_error(&args.out, &e))?;
    let mut ledger = Ledger::open(&args.out.join("members.jsonl"), &asked)?;
    let bar = Mutex::new(Progress::new("constrain"));
    let tell = |done: u32, of: u32| match bar.lock() {
        Ok(mut bar) => bar.tell(f64::from(done) / f64::from(of)),
        Err(_) => ControlFlow::Continue(()),
    };
    constrain(&asked, &mut ledger, &tell)?;
    let published = Published::shipped()?;
    let all: Vec<Evaluation> = ledger.all().cloned().collect();
    let summary = summarise(&asked, &all, &published);
    let provenance = format!(
        "History matching with `lithodrome-cli constrain --members {} --ears {} --seed {}`, version {}: members \
         within 3 standard deviations of every given outcome of assets/findings. Calibrated on these \
         outcomes, which therefore prove nothing about it.",
        args.members
            .iter()
            .map(u32::to_string)
            .collect::<Vec<_>>()
            .join(","),
        args.ears,
        args.seed,
        env!("CARGO_PKG_VERSION"),
    );
    let mut files = vec![
        ("summary.json", as_json(&summary)?),
        ("ranges.svg", ranges_svg(&summary)),
        ("outcomes.svg", outcomes_svg(&summary, &published)),
    ];
    if let Some(set) = plausible_set(&asked, &all, &published, &provenance) {
        files.push(("plausible-set.json", as_json(&set)?));
        files.push(("typical-adult.ron", typical(&set, args.seed)?));
    }
    for (name, text) in files {
        let path = args.out.join(name);
        write_whole(&path, |file| file.write_all(text.as_bytes()))?;
    }
    Ok(summary)
}

fn as_json(document: &impl serde::Serialize) -> Result<String, StudyError> {
    let text =
        serde_json::to_string_pretty(document).map_err(|e| StudyError::Text(e.to_string()))?;
    Ok(format!("{text}\n"))
}

/// The anatomy file of the most central member.
fn typical(set: &PlausibleSet, seed: u32) -> Result<String, StudyError> {
    let Some(central) = set.members().into_iter().next() else {
        return Ok(String::new());
    };
    MemberEars::new(seed)?.typical_file(&central, "typical-adult")
}

fn text(summary: &ConstrainSummary) -> String {
    let mut numbers = Table::new();
    numbers.load_preset(UTF8_FULL_CONDENSED).set_header([
        "number",
        "before",
        "after (5, 50, 95 %)",
        "central",
    ]);
    for number in &summary.numbers {
        let after = number.after.as_ref().map_or_else(String::new, |q| {
            format!("{:.3}, {:.3}, {:.3}", q.q05, q.q50, q.q95)
        });
        numbers.add_row([
            number.name.to_owned(),
            format!("{} to {}", number.before[0], number.before[1]),
            after,
            number
                .central
                .map_or_else(String::new, |c| format!("{c:.3}")),
        ]);
    }
    let mut parts = vec![format!(
        "waves [looked at, to the end, plausible]: {:?}; {:.2} % of the even design remains\n\n{numbers}\n",
        summary.waves,
        100.0 * summary.space_left
    )];
    let trades = summary
        .trades
        .iter()
        .map(|t| format!("{} with {}: {:.2}\n", t.one, t.other, t.correlation));
    parts.push(format!("Trades\n{}", trades.collect::<String>()));
    let exclusions = summary.exclusions.iter().map(|e| {
        format!(
            "{} ({}) and {} ({}): both in {} of {}\n",
            e.one, e.met[0], e.other, e.met[1], e.met[2], e.of
        )
    });
    parts.push(format!(
        "Hardly met together\n{}",
        exclusions.collect::<String>()
    ));
    let left = summary.left_out.iter().map(|l| {
        let found = l.found.as_ref().map_or_else(
            || "nothing".to_owned(),
            |q| format!("{:.2} ({:.2} to {:.2})", q.q50, q.q05, q.q95),
        );
        format!(
            "{}: published {:.2} to {:.2}, {} members say {found}\n",
            l.outcome, l.published[0], l.published[1], l.members
        )
    });
    parts.push(format!("Left out in turn\n{}", left.collect::<String>()));
    parts.push(format!("{CAUTION}\n"));
    parts.join("\n")
}
