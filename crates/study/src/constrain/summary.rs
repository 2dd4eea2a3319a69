//! What the waves leave: how much space, which ranges, what trades, what excludes what, what was left out.

use std::collections::BTreeMap;

use serde::Serialize;

use super::asked::ConstrainAsked;
use super::evaluate::{Evaluation, IMPLAUSIBLE, LEFT_OUT};
use crate::findings::{Outcome, Published};
use crate::members::{Member, PlausibleMember, PlausibleSet, Unknown};
use crate::statistics::Quantiles;

/// Correlation from which two numbers are said to trade.
const TRADES: f64 = 0.35;

/// Standard deviations within which an outcome counts as met when two are held against each other.
const MET: f64 = 2.0;

/// Members that have to meet each of two outcomes before their exclusion means anything.
const ENOUGH: usize = 12;

/// The whole summary.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Summary {
    /// Version of the format, 1.
    pub format: u32,
    /// Seed.
    pub seed: u32,
    /// Ears of a whole look.
    pub ears: u32,
    /// Members by wave: looked at, looked at to the end, plausible.
    pub waves: Vec<[usize; 3]>,
    /// Share of the first wave's even design that is plausible: how much of the space remains.
    pub space_left: f64,
    /// Members that no given outcome rules out.
    pub plausible: usize,
    /// Which outcome is the farthest off, by how many members of the first wave it rules out.
    pub rejections: Vec<Rejections>,
    /// Ranges before and after.
    pub numbers: Vec<NumberSummary>,
    /// Pairs of numbers that trade in the plausible set.
    pub trades: Vec<Trade>,
    /// Pairs of outcomes that are met together much more rarely than each would suggest.
    pub exclusions: Vec<Exclusion>,
    /// Outcomes left out of the matching in turn.
    pub left_out: Vec<LeftOut>,
    /// Every outcome in the plausible set.
    pub outcomes: BTreeMap<String, Quantiles>,
}

/// How many members an outcome rules out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rejections {
    /// Its name.
    pub outcome: String,
    /// Members of the first wave that it rules out.
    pub rejects: usize,
    /// Members of the first wave that were held against it.
    pub of: usize,
}

/// A number before and after.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NumberSummary {
    /// Its name with the unit.
    pub name: &'static str,
    /// Range before.
    pub before: [f64; 2],
    /// What the range rests on.
    pub source: &'static str,
    /// In the plausible set; left out if that is empty.
    pub after: Option<Quantiles>,
    /// Least and most in the plausible set.
    pub ends: Option<[f64; 2]>,
    /// In the most central member.
    pub central: Option<f64>,
}

/// Two numbers that trade.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Trade {
    /// One.
    pub one: &'static str,
    /// The other.
    pub other: &'static str,
    /// Their correlation in the plausible set.
    pub correlation: f64,
}

/// Two outcomes that are hardly met together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Exclusion {
    /// One.
    pub one: String,
    /// The other.
    pub other: String,
    /// Members that both can be told of.
    pub of: usize,
    /// Those that meet one, the other, both.
    pub met: [usize; 3],
}

/// An outcome that was not used.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LeftOut {
    /// Its name.
    pub outcome: String,
    /// Published, least and most.
    pub published: [f64; 2],
    /// Members that all others leave.
    pub members: usize,
    /// What those members say of it.
    pub found: Option<Quantiles>,
    /// Share of them within three standard deviations of print.
    pub within: f64,
}

/// Sums up what has been looked at.
pub fn summarise(asked: &ConstrainAsked, all: &[Evaluation], published: &Published) -> Summary {
    let plausible = plausible(asked, all, published, &[]);
    let waves = (1..=asked.members.len() as u32).map(|wave| {
        let mine = || all.iter().filter(|e| e.wave == wave);
        let left = plausible.iter().filter(|e| e.wave == wave).count();
        [
            mine().count(),
            mine().filter(|e| e.is_whole(asked.ears)).count(),
            left,
        ]
    });
    let waves: Vec<[usize; 3]> = waves.collect();
    let [first, _, left] = waves.first().copied().unwrap_or_default();
    let central = central(&plausible);
    Summary {
        format: 1,
        seed: asked.seed,
        ears: asked.ears,
        space_left: left as f64 / (first.max(1)) as f64,
        plausible: plausible.len(),
        rejections: rejections(all, published),
        numbers: Unknown::ALL
            .iter()
            .map(|unknown| number(*unknown, &plausible, central))
            .collect(),
        trades: trades(&plausible),
        exclusions: exclusions(all, published),
        left_out: left_out(asked, all, published),
        outcomes: published
            .outcomes
            .iter()
            .filter_map(|o| Some((o.id.clone(), told(o, &plausible)?)))
            .collect(),
        waves,
    }
}

/// Members that no given outcome but those of `but` rules out.
fn plausible<'a>(
    asked: &ConstrainAsked,
    all: &'a [Evaluation],
    published: &Published,
    but: &[&str],
) -> Vec<&'a Evaluation> {
    all.iter()
        .filter(|e| e.is_whole(asked.ears) && e.worst(published, but).0 <= IMPLAUSIBLE)
        .collect()
}

/// The member with the least mean distance from all others.
fn central<'a>(plausible: &[&'a Evaluation]) -> Option<&'a Evaluation> {
    let members: Vec<Member> = plausible.iter().map(|e| e.member()).collect();
    let far = |one: &Member| -> f64 { members.iter().map(|other| one.distance(other)).sum() };
    let nearest = (0..members.len()).min_by(|a, b| {
        let [a, b] = [a, b].map(|i| far(&members[*i]));
        a.total_cmp(&b)
    });
    nearest.map(|i| plausible[i])
}

/// The plausible set as a file, the most central member first; `None` if nothing is plausible.
pub fn plausible_set(
    asked: &ConstrainAsked,
    all: &[Evaluation],
    published: &Published,
    provenance: &str,
) -> Option<PlausibleSet> {
    let mut members = plausible(asked, all, published, &[]);
    let first = central(&members)?;
    members.sort_by_key(|e| (!std::ptr::eq(*e, first), e.wave, e.index));
    let tidy = |value: &f64| (value * 1e6).round() / 1e6;
    Some(PlausibleSet {
        format: 1,
        provenance: provenance.to_owned(),
        seed: asked.seed,
        ears: asked.ears,
        numbers: Unknown::ALL
            .iter()
            .map(|u| u.range().name.to_owned())
            .collect(),
        members: members
            .iter()
            .map(|e| {
                let (worst, worst_of) = e.worst(published, &[]);
                PlausibleMember {
                    values: e.values.iter().map(tidy).collect(),
                    worst: tidy(&worst),
                    worst_of,
                }
            })
            .collect(),
    })
}

fn told(outcome: &Outcome, members: &[&Evaluation]) -> Option<Quantiles> {
    let values = members
        .iter()
        .filter_map(|e| Some(e.outcomes.get(&outcome.id)?.0));
    Quantiles::of(values)
}

fn rejections(all: &[Evaluation], published: &Published) -> Vec<Rejections> {
    let given = published.outcomes.iter().filter(|o| o.given);
    let mut found: Vec<Rejections> = given
        .map(|outcome| {
            let first = all.iter().filter(|e| e.wave == 1);
            let distances: Vec<f64> = first.filter_map(|e| e.distance(outcome)).collect();
            Rejections {
                outcome: outcome.id.clone(),
                rejects: distances.iter().filter(|d| **d > IMPLAUSIBLE).count(),
                of: distances.len(),
            }
        })
        .filter(|r| r.rejects > 0)
        .collect();
    let share = |r: &Rejections| r.rejects as f64 / r.of as f64;
    found.sort_by(|a, b| share(b).total_cmp(&share(a)));
    found
}

fn number(
    unknown: Unknown,
    plausible: &[&Evaluation],
    central: Option<&Evaluation>,
) -> NumberSummary {
    let range = unknown.range();
    let values = || plausible.iter().map(|e| e.values[unknown.index()]);
    NumberSummary {
        name: range.name,
        before: [range.least, range.most],
        source: range.source,
        after: Quantiles::of(values()),
        ends: values().fold(None, |ends, v| {
            let [least, most] = ends.unwrap_or([v, v]);
            Some([v.min(least), v.max(most)])
        }),
        central: central.map(|e| e.values[unknown.index()]),
    }
}

fn trades(plausible: &[&Evaluation]) -> Vec<Trade> {
    let column = |u: Unknown| plausible.iter().map(move |e| e.values[u.index()]);
    let mut found = Vec::new();
    for (i, one) in Unknown::ALL.into_iter().enumerate() {
        for other in &Unknown::ALL[i + 1..] {
            let r = correlation(column(one), column(*other));
            if r.abs() >= TRADES {
                found.push(Trade {
                    one: one.range().name,
                    other: other.range().name,
                    correlation: r,
                });
            }
        }
    }
    found.sort_by(|a, b| b.correlation.abs().total_cmp(&a.correlation.abs()));
    found
}

/// Pearson's correlation; 0 where one does not vary.
fn correlation(a: impl Iterator<Item = f64> + Clone, b: impl Iterator<Item = f64> + Clone) -> f64 {
    let n = a.clone().count().max(1) as f64;
    let mean = |x: f64| x / n;
    let (mean_a, mean_b) = (mean(a.clone().sum()), mean(b.clone().sum()));
    let (mut ab, mut aa, mut bb) = (0.0, 0.0, 0.0);
    for (x, y) in a.zip(b) {
        let (x, y) = (x - mean_a, y - mean_b);
        ab += x * y;
        aa += x * x;
        bb += y * y;
    }
    if aa > 0.0 && bb > 0.0 {
        ab / (aa * bb).sqrt()
    } else {
        0.0
    }
}

fn exclusions(all: &[Evaluation], published: &Published) -> Vec<Exclusion> {
    let mut found = Vec::new();
    for (i, one) in published.outcomes.iter().enumerate() {
        for other in &published.outcomes[i + 1..] {
            let pairs: Vec<(bool, bool)> = all
                .iter()
                .filter_map(|e| Some((e.distance(one)? <= MET, e.distance(other)? <= MET)))
                .collect();
            let met = [
                pairs.iter().filter(|p| p.0).count(),
                pairs.iter().filter(|p| p.1).count(),
                pairs.iter().filter(|p| p.0 && p.1).count(),
            ];
            let expected = met[0] as f64 * met[1] as f64 / pairs.len().max(1) as f64;
            let rare = (met[2] as f64) < 0.25 * expected;
            if met[0] >= ENOUGH && met[1] >= ENOUGH && rare {
                found.push(Exclusion {
                    one: one.id.clone(),
                    other: other.id.clone(),
                    of: pairs.len(),
                    met,
                });
            }
        }
    }
    found
}

fn left_out(asked: &ConstrainAsked, all: &[Evaluation], published: &Published) -> Vec<LeftOut> {
    let outcomes = LEFT_OUT.iter().filter_map(|id| published.outcome(id));
    outcomes
        .map(|outcome| {
            let members = plausible(asked, all, published, &[outcome.id.as_str()]);
            let within = members
                .iter()
                .filter(|e| e.distance(outcome).is_some_and(|d| d <= IMPLAUSIBLE));
            LeftOut {
                outcome: outcome.id.clone(),
                published: [outcome.least, outcome.most],
                within: within.count() as f64 / members.len().max(1) as f64,
                found: told(outcome, &members),
                members: members.len(),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::constrain::Outcomes;

    fn evaluation(index: u32, u: f64, decay_s: f64) -> Evaluation {
        let mut outcomes = Outcomes::new();
        outcomes.insert("dix_hallpike_decay_s".to_owned(), (decay_s, 0.1));
        outcomes.insert("dix_hallpike_seen".to_owned(), (1.0, 0.1));
        Evaluation {
            wave: 1,
            index,
            values: Member::at(&[u; Unknown::ALL.len()]).values,
            ears: 6,
            failed: 0,
            outcomes,
        }
    }

    #[test]
    fn what_is_too_far_from_print_is_out_but_counts_where_it_is_left_out() {
        let published = Published::shipped().unwrap();
        let asked = ConstrainAsked {
            members: vec![4],
            ears: 6,
            seed: 1,
            threads: None,
        };
        // Decay is published as 3 to 6 s, with a model error of 1 s: 12 s is out, 8 s is not.
        let all = [
            evaluation(0, 0.1, 4.0),
            evaluation(1, 0.3, 8.0),
            evaluation(2, 0.4, 12.0),
            evaluation(3, 0.2, 5.0),
        ];
        let summary = summarise(&asked, &all, &published);
        assert_eq!(summary.plausible, 3);
        assert!((summary.space_left - 0.75).abs() < 1e-12);
        let decay = summary.left_out.iter().find(|l| l.outcome == LEFT_OUT[0]);
        let decay = decay.unwrap();
        assert_eq!(decay.members, 4);
        assert!((decay.within - 0.75).abs() < 1e-12);
        // 0.2 is the most central of 0.1, 0.2 and 0.3; all numbers go together there.
        let set = plausible_set(&asked, &all, &published, "a test").unwrap();
        assert!(
            Member {
                values: set.members[0].values.clone()
            }
            .distance(&all[3].member())
                < 1e-6
        );
        assert!(summary.trades.iter().all(|t| t.correlation > 0.999));
    }
}
