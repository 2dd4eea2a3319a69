//! What the window knows of a class.

use lithodrome_rehearsal::{ClassCase, ClassSet, Difficulty, LearnerSum, ResultKind, ResultRow};

/// A new set, as it is typed.
#[derive(Clone, Debug, PartialEq)]
pub struct SetForm {
    /// What the teacher calls it.
    pub title: String,
    /// Seed of its first case.
    pub first: u64,
    /// How many cases.
    pub count: u64,
    /// Difficulty of all; each seed's own if left out.
    pub difficulty: Option<Difficulty>,
}

impl Default for SetForm {
    fn default() -> Self {
        SetForm {
            title: String::new(),
            first: 1,
            count: 10,
            difficulty: None,
        }
    }
}

impl SetForm {
    /// The set.
    pub fn set(&self) -> ClassSet {
        let seeds = self.first..self.first.saturating_add(self.count);
        let case = |seed| ClassCase {
            seed,
            difficulty: self.difficulty,
        };
        ClassSet::new(self.title.trim(), seeds.map(case).collect())
    }
}

/// What a wish came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Told {
    /// It is done.
    Done(String),
    /// It is not.
    Failed(String),
}

/// All of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ClassState {
    /// The path of a set, as it is typed.
    pub set_path: String,
    /// The set that is open.
    pub set: Option<ClassSet>,
    /// A new set.
    pub form: SetForm,
    /// The path of results, as it is typed.
    pub results_path: String,
    /// Results of this window, in order.
    pub here: Vec<ResultRow>,
    /// Sums of the results that were read.
    pub sums: Vec<LearnerSum>,
    /// What the last wish came to.
    pub told: Option<Told>,
}

impl ClassState {
    /// The latest result of a case of the set in this window.
    pub fn result_of(&self, case: &ClassCase) -> Option<&ResultRow> {
        let case = case.case();
        self.here.iter().rev().find(|row| {
            row.kind == ResultKind::Case
                && row.seed == case.seed
                && row.difficulty == Some(case.difficulty)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_has_the_seeds_that_were_asked_for() {
        let form = SetForm {
            title: " Week 1 ".to_owned(),
            first: 40,
            count: 3,
            difficulty: Some(Difficulty::Common),
        };
        let set = form.set();
        assert_eq!(set.title, "Week 1");
        let seeds: Vec<u64> = set.cases.iter().map(|case| case.seed).collect();
        assert_eq!(seeds, [40, 41, 42]);
    }
}
