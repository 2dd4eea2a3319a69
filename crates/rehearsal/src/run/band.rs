//! One manoeuvre in a band of plausible ears: what is told is what they agree on.

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_labyrinth::Labyrinth;

use super::judged::judge_scenario;
use crate::error::RehearsalError;
use crate::report::{ClearedIn, Judged, Phrase, Report, Verdict, as_sentence, capital};
use crate::scenario::Scenario;

/// One plausible ear.
#[derive(Clone, Debug)]
pub struct BandMember {
    /// What tells it from the others, such as ("resistance to rolling", 0.17), in the same order in all.
    pub numbers: Vec<(String, f64)>,
    /// Its ears.
    pub labyrinth: Arc<Labyrinth>,
}

impl BandMember {
    /// How a scenario that has been checked ends in it.
    pub fn judge(
        &self,
        scenario: &Scenario,
        go_on: &mut dyn FnMut(f64) -> ControlFlow<()>,
    ) -> Result<Judged, RehearsalError> {
        judge_scenario(scenario, &self.labyrinth, None, go_on)
    }
}

/// What a band says of a manoeuvre.
#[derive(Clone, Debug, PartialEq)]
pub struct BandVerdict {
    /// The word that all members agree on, or [`Verdict::Depends`].
    pub verdict: Verdict,
    /// How many clear; one that failed clears nothing.
    pub cleared_in: ClearedIn,
    /// How many end with which word, the most first.
    pub words: Vec<(Verdict, usize)>,
    /// Members that failed.
    pub failed: usize,
    /// Numbers that part the members that clear from the others, the strongest first; with none, none of
    /// the numbers alone tells them apart.
    pub depends_on: Vec<String>,
}

impl BandVerdict {
    /// What the members' outcomes come to, `[member]`.
    pub fn of(band: &[BandMember], judged: &[Result<Judged, RehearsalError>]) -> BandVerdict {
        let word = |one: &Result<Judged, RehearsalError>| one.as_ref().ok().map(|j| j.verdict);
        let cleared: Vec<bool> = judged
            .iter()
            .map(|one| word(one) == Some(Verdict::Cleared))
            .collect();
        let mut words: Vec<(Verdict, usize)> = Vec::new();
        for found in judged.iter().filter_map(word) {
            match words.iter_mut().find(|(known, _)| *known == found) {
                Some((_, n)) => *n += 1,
                None => words.push((found, 1)),
            }
        }
        words.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
        let failed = judged.iter().filter(|one| one.is_err()).count();
        let verdict = match words[..] {
            [(only, _)] if failed == 0 => only,
            _ => Verdict::Depends,
        };
        let depends_on = if verdict == Verdict::Depends {
            depends_on(band, &cleared)
        } else {
            Vec::new()
        };
        BandVerdict {
            verdict,
            cleared_in: ClearedIn {
                cleared: cleared.iter().filter(|c| **c).count(),
                of: judged.len(),
            },
            words,
            failed,
            depends_on,
        }
    }

    /// What is said of it, the word first.
    pub fn phrases(&self) -> Vec<Phrase> {
        let ClearedIn { cleared, of } = self.cleared_in;
        if self.verdict != Verdict::Depends {
            let word = self.verdict.name();
            return vec![Phrase::of_all(format!(
                "{} in all {of} plausible ears",
                capital(word)
            ))];
        }
        let others = self
            .words
            .iter()
            .filter(|(word, _)| *word != Verdict::Cleared);
        let mut others: Vec<String> = others
            .map(|(word, n)| format!("{} in {n}", word.name()))
            .collect();
        if self.failed > 0 {
            others.push(format!("no result in {}", self.failed));
        }
        let mut all = vec![
            Phrase::of_all("Depends on the ear"),
            Phrase::of_all(format!(
                "cleared in {cleared} of {of} plausible ears, {}",
                others.join(", ")
            )),
        ];
        if cleared > 0 {
            all.push(Phrase::of_all(if self.depends_on.is_empty() {
                "no single number tells them apart".to_owned()
            } else {
                format!("what tells them apart is {}", self.depends_on.join(", "))
            }));
        }
        all
    }
}

impl BandVerdict {
    /// All of it as one sentence.
    pub fn sentence(&self) -> String {
        as_sentence(&self.phrases())
    }
}

impl Report {
    /// The report with what a band says in the place of one ear's answer, which stays as that ear's.
    #[must_use]
    pub fn over_band(mut self, band: &BandVerdict) -> Report {
        self.verdict = band.verdict;
        self.cleared = band.verdict == Verdict::Cleared;
        self.cleared_in = Some(band.cleared_in);
        self.depends_on.clone_from(&band.depends_on);
        let mut phrases = band.phrases();
        let own = self.verdict_phrases.iter().enumerate();
        phrases.extend(own.map(|(i, phrase)| match i {
            0 => Phrase {
                text: format!("in the ear shown: {}", phrase.text.to_lowercase()),
                time_s: phrase.time_s,
            },
            _ => phrase.clone(),
        }));
        self.verdict_sentence = as_sentence(&phrases);
        self.verdict_phrases = phrases;
        self
    }
}

/// Numbers whose ranks differ between members that clear and those that do not by more than chance: twice
/// the standard error of the rank sum (Mann & Whitney 1947, Ann Math Stat 18:50).
fn depends_on(band: &[BandMember], cleared: &[bool]) -> Vec<String> {
    let yes = cleared.iter().filter(|c| **c).count() as f64;
    let no = cleared.len() as f64 - yes;
    let Some(first) = band.first() else {
        return Vec::new();
    };
    let mut found: Vec<(f64, &str)> = Vec::new();
    for (k, (name, _)) in first.numbers.iter().enumerate() {
        let value = |i: usize| band[i].numbers.get(k).map_or(0.0, |n| n.1);
        let mut u = 0.0;
        for i in (0..band.len()).filter(|&i| cleared[i]) {
            for j in (0..band.len()).filter(|&j| !cleared[j]) {
                u += match value(i).total_cmp(&value(j)) {
                    std::cmp::Ordering::Greater => 1.0,
                    std::cmp::Ordering::Equal => 0.5,
                    std::cmp::Ordering::Less => 0.0,
                };
            }
        }
        let sd = (yes * no * (yes + no + 1.0) / 12.0).sqrt();
        let z = (u - 0.5 * yes * no) / sd;
        if z.abs() >= 2.0 {
            found.push((z.abs(), name));
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.into_iter().map(|(_, name)| name.to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::compile::load_anatomy;
    use crate::report::judged_as;

    fn members(of: usize) -> Vec<BandMember> {
        let anatomy = load_anatomy("mean-adult", Path::new("")).unwrap();
        let labyrinth = Arc::new(Labyrinth::build(&anatomy).unwrap());
        let member = |i: usize| BandMember {
            numbers: vec![("a".to_owned(), i as f64), ("b".to_owned(), 1.0)],
            labyrinth: Arc::clone(&labyrinth),
        };
        (0..of).map(member).collect()
    }

    /// Six against six, all of one group above the other: U = 36 of 36, mean 18, standard error
    /// √(36 · 13 / 12) = 6.24, so z = 2.88. One against eleven cannot be told: z = 5.5 / 3.45 = 1.59.
    #[test]
    fn a_number_that_parts_the_members_is_named() {
        let band = members(12);
        let halves: Vec<bool> = (0..12).map(|i| i >= 6).collect();
        assert_eq!(depends_on(&band, &halves), ["a"]);
        let one_only: Vec<bool> = (0..12).map(|i| i == 11).collect();
        assert!(depends_on(&band, &one_only).is_empty());
        assert!(depends_on(&[], &[]).is_empty());
    }

    /// Members that disagree are told as such, never the one ear's answer.
    #[test]
    fn what_members_agree_on_is_told_and_what_they_do_not_depends() {
        let band = members(12);
        let ends = |cleared: usize| -> Vec<Result<Judged, RehearsalError>> {
            let word = |i| {
                if i < 12 - cleared {
                    Verdict::Switched
                } else {
                    Verdict::Cleared
                }
            };
            (0..12).map(|i| Ok(judged_as(word(i)))).collect()
        };
        let all = BandVerdict::of(&band, &ends(12));
        assert_eq!(all.verdict, Verdict::Cleared);
        assert_eq!(all.phrases()[0].text, "Cleared in all 12 plausible ears");
        let some = BandVerdict::of(&band, &ends(6));
        assert_eq!(some.verdict, Verdict::Depends);
        let texts: Vec<String> = some.phrases().into_iter().map(|p| p.text).collect();
        assert_eq!(
            texts,
            [
                "Depends on the ear",
                "cleared in 6 of 12 plausible ears, switched in 6",
                "what tells them apart is a"
            ]
        );
        // One that failed is no success.
        let mut with_failure = ends(12);
        with_failure[0] =
            Err(crate::error::FieldError::new("debris[1].diameter_um", &1, "less").into());
        let told = BandVerdict::of(&band, &with_failure);
        assert_eq!(
            (told.verdict, told.cleared_in.cleared),
            (Verdict::Depends, 11)
        );
    }
}
