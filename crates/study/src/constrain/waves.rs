//! The waves: an even design over the ranges, then only where the first one leaves something.

use std::ops::ControlFlow;
use std::sync::Mutex;

use rayon::prelude::*;

use super::asked::ConstrainAsked;
use super::emulator::Emulator;
use super::evaluate::{Bench, Evaluation, IMPLAUSIBLE, LEFT_OUT};
use super::ledger::Ledger;
use crate::StudyError;
use crate::findings::{Courses, Published};
use crate::members::{Member, MemberEars, Unknown};
use crate::population::{MOST_EARS, UnitPoint, normal_deviate};
use crate::runs::pool;

/// Candidates that are looked through for every member of a later wave.
const CANDIDATES: u32 = 64;

/// The most members of a wave: of more, candidates would come again.
const MOST_MEMBERS: u32 = MOST_EARS / CANDIDATES;

/// Members of the waves before that the last wave is drawn about, and how far from them, in the unit cube.
const ABOUT: usize = 24;
const ABOUT_SD: f64 = 0.12;

/// Dimension in which a member to draw about is chosen.
const CHOICE: u32 = 200;

/// Members that are looked at before the file is written again: threads take them in any order, the file
/// has them in one.
const BATCH: usize = 16;

/// Runs what the ledger does not have yet. `progress` is told how many members of how many are done.
pub fn constrain(
    asked: &ConstrainAsked,
    ledger: &mut Ledger,
    progress: &(dyn Fn(u32, u32) -> ControlFlow<()> + Sync),
) -> Result<(), StudyError> {
    let allowed = format!("1 to {MOST_MEMBERS} in a wave");
    if let Some(n) = asked
        .members
        .iter()
        .find(|n| !(1..=MOST_MEMBERS).contains(*n))
    {
        return Err(StudyError::field("members", n, &allowed));
    }
    let bench = Bench {
        published: Published::shipped()?,
        ears: MemberEars::new(asked.seed)?,
        courses: Courses::new(asked.ears, asked.seed)?,
        most_ears: asked.ears,
    };
    let pool = pool(asked.threads)?;
    let of: u32 = asked.members.iter().sum();
    let mut done = 0;
    for (wave, n) in (1..).zip(&asked.members) {
        let members = design(asked, wave, *n, ledger, &bench.published);
        let missing: Vec<(u32, Member)> = (0..)
            .zip(members)
            .filter(|(index, _)| !ledger.has(wave, *index))
            .collect();
        done += n - missing.len() as u32;
        for batch in missing.chunks(BATCH) {
            let told = Mutex::new(done);
            let given_up = Mutex::new(false);
            let evaluations: Vec<Evaluation> = pool.install(|| {
                batch
                    .par_iter()
                    .map(|(index, member)| {
                        let found = bench.evaluate(wave, *index, member);
                        if let (Ok(mut told), Ok(mut given_up)) = (told.lock(), given_up.lock()) {
                            *told += 1;
                            *given_up |= progress(*told, of).is_break();
                        }
                        found
                    })
                    .collect()
            });
            done += batch.len() as u32;
            for evaluation in evaluations {
                ledger.add(evaluation)?;
            }
            if given_up.into_inner().unwrap_or(false) {
                return Err(StudyError::Cancelled { done, of });
            }
        }
    }
    Ok(())
}

/// The members of a wave: a function of the seed and of the waves before.
fn design(
    asked: &ConstrainAsked,
    wave: u32,
    n: u32,
    ledger: &Ledger,
    published: &Published,
) -> Vec<Member> {
    let dimensions = Unknown::ALL.len() as u32;
    let seed = asked.seed.wrapping_add(wave.wrapping_mul(0x9e37_79b9));
    let point = |index| UnitPoint { index, seed };
    if wave == 1 {
        return (0..n)
            .map(|i| Member::at(&point(i).range(0..dimensions)))
            .collect();
    }
    let before: Vec<&Evaluation> = ledger.all().filter(|e| e.wave < wave).collect();
    let stand_ins = stand_ins(&before, published);
    let about = (wave > 2).then(|| least_implausible(&before, published));
    let candidates = (0..n * CANDIDATES).map(|i| {
        let unit = point(i).range(0..dimensions);
        match &about {
            Some(about) if !about.is_empty() => {
                let chosen = (point(i).at(CHOICE) * about.len() as f64) as usize;
                let moved = about[chosen].unit().into_iter().zip(&unit);
                let near = moved.map(|(c, u)| folded(c + ABOUT_SD * normal_deviate(*u)));
                near.collect()
            }
            _ => unit,
        }
    });
    // The least implausible by the stand-ins; the order of the sequence among equals.
    let mut ranked: Vec<(f64, u32, Vec<f64>)> = (0..)
        .zip(candidates)
        .map(|(i, unit)| {
            (
                expected_worst(&stand_ins, published, &unit).max(1.5),
                i,
                unit,
            )
        })
        .collect();
    ranked.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    ranked.truncate(n as usize);
    ranked.sort_by_key(|(_, i, _)| *i);
    ranked.iter().map(|(_, _, unit)| Member::at(unit)).collect()
}

/// Back into the unit interval by reflection at its ends.
fn folded(x: f64) -> f64 {
    let y = x.rem_euclid(2.0);
    if y > 1.0 { 2.0 - y } else { y }
}

type StandIns = Vec<(usize, Emulator)>;

/// A stand-in for every given outcome that enough members tell of, by its place in the table.
fn stand_ins(before: &[&Evaluation], published: &Published) -> StandIns {
    let given = published
        .outcomes
        .iter()
        .enumerate()
        .filter(|(_, o)| o.given);
    let fits = given.filter_map(|(i, outcome)| {
        let told: Vec<(Vec<f64>, f64)> = before
            .iter()
            .filter_map(|e| {
                let (value, _) = e.outcomes.get(&outcome.id)?;
                // What is hopelessly far off is as good as six of its standard deviations off.
                let sd = outcome.spread.hypot(outcome.model_error);
                let [least, most] = [outcome.least - 6.0 * sd, outcome.most + 6.0 * sd];
                Some((e.member().unit(), value.clamp(least, most)))
            })
            .collect();
        let (places, values): (Vec<_>, Vec<_>) = told.into_iter().unzip();
        Some((i, Emulator::fit(&places, &values)?))
    });
    fits.collect()
}

/// The greatest distance that the stand-ins expect.
fn expected_worst(stand_ins: &StandIns, published: &Published, unit: &[f64]) -> f64 {
    let distances = stand_ins.iter().map(|(i, emulator)| {
        let outcome = &published.outcomes[*i];
        outcome.distance(emulator.at(unit), emulator.left)
    });
    distances.fold(0.0, f64::max)
}

/// The members that are looked at farthest and are nearest to print.
fn least_implausible(before: &[&Evaluation], published: &Published) -> Vec<Member> {
    let mut ranked: Vec<(bool, u32, f64, &Evaluation)> = before
        .iter()
        .filter(|e| !e.outcomes.is_empty())
        .map(|e| {
            let worst = e.worst(published, &[]).0;
            let open = e.worst(published, &LEFT_OUT).0 <= IMPLAUSIBLE;
            (open, e.ears, worst, *e)
        })
        .collect();
    ranked.sort_by(|a, b| {
        let by_ears = b.0.cmp(&a.0).then(b.1.cmp(&a.1));
        by_ears.then(a.2.total_cmp(&b.2))
    });
    ranked.truncate(ABOUT);
    ranked.iter().map(|(.., e)| e.member()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reflection_stays_inside() {
        for (x, inside) in [(0.3, 0.3), (-0.2, 0.2), (1.25, 0.75), (2.1, 0.1)] {
            assert!((folded(x) - inside).abs() < 1e-12);
        }
    }
}
