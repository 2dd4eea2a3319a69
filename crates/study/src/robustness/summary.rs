//! What a sequence does over a population, summed up from its rows.

use std::collections::BTreeMap;

use lithodrome_labyrinth::{Canal, CanalId};
use lithodrome_rehearsal::units::tidy;
use serde::{Deserialize, Serialize};

use crate::population::Population;
use crate::runs::{Row, RunEnd, canal_of};
use crate::statistics::{Quantiles, Share, first_order};

/// One sequence over a population.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Summary {
    /// Name of the sequence.
    pub sequence: String,
    /// Ears.
    pub n: u64,
    /// Share of ears by how they end; they add up to 1.
    pub shares: Shares,
    /// How many ears of each.
    pub counts: Counts,
    /// Lower end of the 95 % interval of the share cleared.
    pub cleared_low: f64,
    /// Upper end.
    pub cleared_high: f64,
    /// Every end that some ear has, by its word: share of all ears with its interval.
    pub ends: BTreeMap<String, Share>,
    /// Where those are that switched: share of all ears, by canal.
    pub switched_to: BTreeMap<String, Share>,
    /// When the last body left, of those that cleared.
    pub exit_s: Option<Quantiles>,
    /// Steps in which the last body left.
    pub exits: Vec<StepExits>,
    /// Least way to the upright divide of a wrong canal, mm, over the ears in which it is known.
    pub nearest_miss_mm: Option<Quantiles>,
    /// Share cleared among the first ears, more and more of them.
    pub convergence: Vec<Share>,
    /// How much of the outcome's variance each input explains alone, largest first.
    pub sensitivity: Vec<Sensitivity>,
    /// The worst ears.
    pub worst: Vec<WorstEar>,
    /// Runs that have no end.
    pub errors: Vec<FailedRun>,
}

/// Shares of ears by how they end.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Shares {
    /// All debris in the utricle.
    pub cleared: f64,
    /// In another canal, about to fall back.
    pub passing: f64,
    /// In another canal.
    pub switched: f64,
    /// Out of the long arms, but in a short one.
    pub behind_cupula: f64,
    /// In its own canal, where friction alone keeps it.
    pub held: f64,
    /// In its own canal still.
    pub inside: f64,
    /// The run failed.
    pub failed: f64,
}

/// The same as counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Counts {
    /// All debris in the utricle.
    pub cleared: u64,
    /// In another canal, about to fall back.
    pub passing: u64,
    /// In another canal.
    pub switched: u64,
    /// Out of the long arms, but in a short one.
    pub behind_cupula: u64,
    /// In its own canal, where friction alone keeps it.
    pub held: u64,
    /// In its own canal still.
    pub inside: u64,
    /// The run failed.
    pub failed: u64,
}

impl Counts {
    /// Counts of rows.
    pub fn of<'a>(rows: impl IntoIterator<Item = &'a Row>) -> Counts {
        let ends = rows
            .into_iter()
            .map(|row| row.end.as_ref().ok().map(|end| end.word));
        Counts::of_ends(ends)
    }

    /// Counts of ends; `None` is a run that failed.
    pub fn of_ends(ends: impl IntoIterator<Item = Option<RunEnd>>) -> Counts {
        let mut counts = Counts::default();
        for end in ends {
            let one = match end {
                Some(RunEnd::Cleared) => &mut counts.cleared,
                Some(RunEnd::Passing) => &mut counts.passing,
                Some(RunEnd::Switched) => &mut counts.switched,
                Some(RunEnd::BehindCupula) => &mut counts.behind_cupula,
                Some(RunEnd::Held) => &mut counts.held,
                Some(RunEnd::Inside) => &mut counts.inside,
                None => &mut counts.failed,
            };
            *one += 1;
        }
        counts
    }

    /// All of them.
    pub fn n(&self) -> u64 {
        let Counts {
            cleared,
            passing,
            switched,
            behind_cupula,
            held,
            inside,
            failed,
        } = *self;
        cleared + passing + switched + behind_cupula + held + inside + failed
    }

    /// As shares of all.
    pub fn shares(&self) -> Shares {
        let n = self.n().max(1) as f64;
        let share = |count: u64| count as f64 / n;
        Shares {
            cleared: share(self.cleared),
            passing: share(self.passing),
            switched: share(self.switched),
            behind_cupula: share(self.behind_cupula),
            held: share(self.held),
            inside: share(self.inside),
            failed: share(self.failed),
        }
    }
}

/// Runs whose last body left in one step.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StepExits {
    /// Step, from 1; one more than there are while the patient sat afterwards.
    pub step: u32,
    /// Share of all ears.
    pub share: f64,
    /// How much of the hold was left.
    pub spare_s: Option<Quantiles>,
}

/// What one input explains.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sensitivity {
    /// Name of the input, with its unit.
    pub input: String,
    /// Its first-order index for the share cleared.
    pub first_order: f64,
}

/// An ear in which a sequence does badly.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WorstEar {
    /// Which, counted from 0.
    pub index: u32,
    /// How it ends.
    pub end: RunEnd,
    /// Where.
    pub region: String,
}

/// A run without an end.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FailedRun {
    /// Which ear, counted from 0.
    pub index: u32,
    /// Why.
    pub error: String,
}

/// Most ears and errors that are named one by one.
const NAMED: usize = 20;

/// Sums up the rows of one sequence, in the order of their ears.
pub fn summary(population: &Population, canal: CanalId, name: &str, rows: &[&Row]) -> Summary {
    let counts = Counts::of(rows.iter().copied());
    let cleared = share_of(rows, Row::is_cleared);
    Summary {
        sequence: name.to_owned(),
        n: counts.n(),
        shares: counts.shares(),
        counts,
        cleared_low: cleared.low,
        cleared_high: cleared.high,
        ends: ends(rows),
        switched_to: switched_to(canal, rows),
        exit_s: Quantiles::of(ended_cleared(rows).filter_map(|end| end.exit_s)),
        exits: exits(rows),
        nearest_miss_mm: Quantiles::of(
            rows.iter()
                .filter_map(|row| row.end.as_ref().ok()?.nearest_miss_mm),
        ),
        convergence: convergence(rows),
        sensitivity: sensitivity(population, rows),
        worst: worst(rows),
        errors: rows
            .iter()
            .filter_map(|row| {
                let error = row.end.as_ref().err()?;
                Some(FailedRun {
                    index: row.index,
                    error: error.clone(),
                })
            })
            .take(NAMED)
            .collect(),
    }
}

/// Share of the rows that are so.
pub(crate) fn share_of(rows: &[&Row], so: impl Fn(&Row) -> bool + Copy) -> Share {
    Share::of_ears(rows.iter().map(|row| (row.index, so(row))))
}

fn ended_cleared<'a>(rows: &'a [&Row]) -> impl Iterator<Item = &'a crate::runs::Ended> {
    rows.iter()
        .filter(|row| row.is_cleared())
        .filter_map(|row| row.end.as_ref().ok())
}

fn ends(rows: &[&Row]) -> BTreeMap<String, Share> {
    let is = |row: &Row, word: RunEnd| row.end.as_ref().is_ok_and(|end| end.word == word);
    RunEnd::ALL
        .into_iter()
        .filter(|word| rows.iter().any(|row| is(row, *word)))
        .map(|word| {
            let share = share_of(rows, |row| is(row, word));
            (word.name().to_owned(), share)
        })
        .collect()
}

fn switched_to(canal: CanalId, rows: &[&Row]) -> BTreeMap<String, Share> {
    let into = |row: &Row| {
        let end = row.end.as_ref().ok()?;
        canal_of(end.region).filter(|_| end.word == RunEnd::Switched)
    };
    Canal::ALL
        .into_iter()
        .filter(|to| rows.iter().any(|row| into(row) == Some(*to)))
        .map(|to| {
            let name = format!("{} {}", canal.ear.name(), to.name());
            (name, share_of(rows, |row| into(row) == Some(to)))
        })
        .collect()
}

fn exits(rows: &[&Row]) -> Vec<StepExits> {
    let mut steps: BTreeMap<u32, Vec<f64>> = BTreeMap::new();
    for end in ended_cleared(rows) {
        if let (Some(step), Some(spare_s)) = (end.exit_step, end.spare_s) {
            steps.entry(step).or_default().push(spare_s);
        }
    }
    let of = rows.len().max(1) as f64;
    steps
        .into_iter()
        .map(|(step, spare_s)| StepExits {
            step,
            share: spare_s.len() as f64 / of,
            spare_s: Quantiles::of(spare_s),
        })
        .collect()
}

/// About twenty lengths from ten ears to all, each longer than the one before by the same factor.
fn convergence(rows: &[&Row]) -> Vec<Share> {
    let all = rows.len();
    let lengths = (0..=20).map(|i| ((all as f64).powf(f64::from(i) / 20.0)).round() as usize);
    let mut lengths: Vec<usize> = lengths.filter(|n| *n >= 10.min(all) && *n > 0).collect();
    lengths.dedup();
    lengths
        .into_iter()
        .map(|n| share_of(&rows[..n], Row::is_cleared))
        .collect()
}

/// Inputs that differ, by what they explain of whether an ear is cleared; failed runs are left out.
fn sensitivity(population: &Population, rows: &[&Row]) -> Vec<Sensitivity> {
    let ended: Vec<&&Row> = rows.iter().filter(|row| row.end.is_ok()).collect();
    let outcome: Vec<f64> = ended
        .iter()
        .map(|row| f64::from(u8::from(row.is_cleared())))
        .collect();
    let mut columns: Vec<(String, Vec<f64>)> = Vec::new();
    for row in &ended {
        let inputs = population.draw(row.index).inputs();
        if columns.is_empty() {
            columns = inputs.iter().map(|i| (i.0.clone(), Vec::new())).collect();
        }
        for (column, (_, value)) in columns.iter_mut().zip(inputs) {
            column.1.push(value);
        }
    }
    let mut found: Vec<Sensitivity> = columns
        .into_iter()
        .filter(|(_, values)| values.windows(2).any(|w| w[0].to_bits() != w[1].to_bits()))
        .filter_map(|(input, values)| {
            let index = first_order(&values, &outcome)?;
            Some(Sensitivity {
                input,
                first_order: tidy(index),
            })
        })
        .collect();
    found.sort_by(|a, b| b.first_order.total_cmp(&a.first_order));
    found
}

/// The worst words first; within a word in the order of the draws.
fn worst(rows: &[&Row]) -> Vec<WorstEar> {
    let mut bad: Vec<WorstEar> = rows
        .iter()
        .filter_map(|row| {
            let end = row.end.as_ref().ok()?;
            (end.word != RunEnd::Cleared).then(|| WorstEar {
                index: row.index,
                end: end.word,
                region: end.region.name().to_owned(),
            })
        })
        .collect();
    bad.sort_by(|a, b| b.end.cmp(&a.end).then(a.index.cmp(&b.index)));
    bad.truncate(NAMED);
    bad
}
