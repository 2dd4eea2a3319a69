//! The sets of unmeasured numbers that print does not rule out: a data file with where it is from.

use serde::{Deserialize, Serialize};

use super::member::Member;
use super::unknown::Unknown;
use crate::StudyError;

/// Text of the shipped set.
const SHIPPED: &str = include_str!("../../../../assets/plausible/plausible-set.json");

/// Members that are plausible, the most central one first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlausibleSet {
    /// Version of the format, 1.
    pub format: u32,
    /// How it was made, and what it may be used for.
    pub provenance: String,
    /// Seed of the matching.
    pub seed: u32,
    /// Ears of every member that was looked at over a population.
    pub ears: u32,
    /// Names of the numbers, in the order of the members' values.
    pub numbers: Vec<String>,
    /// The members.
    pub members: Vec<PlausibleMember>,
}

/// One of them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlausibleMember {
    /// Its values, in the order of the set's numbers.
    pub values: Vec<f64>,
    /// Its greatest distance from any given outcome, in standard deviations.
    pub worst: f64,
    /// Name of that outcome.
    pub worst_of: String,
}

impl PlausibleSet {
    /// The shipped one.
    ///
    /// # Errors
    /// None with the shipped file.
    pub fn shipped() -> Result<PlausibleSet, StudyError> {
        let set: PlausibleSet =
            serde_json::from_str(SHIPPED).map_err(|e| StudyError::Text(e.to_string()))?;
        set.check()?;
        Ok(set)
    }

    fn check(&self) -> Result<(), StudyError> {
        let known: Vec<_> = Unknown::ALL.iter().map(|u| u.range().name).collect();
        if self.numbers != known {
            let allowed = known.join(", ");
            return Err(StudyError::field(
                "numbers",
                &self.numbers.join(", "),
                &allowed,
            ));
        }
        if self.members.is_empty() {
            return Err(StudyError::field("members", &0, &"1 or more"));
        }
        for member in &self.members {
            if member.values.len() != known.len() {
                let allowed = format!("{} values", known.len());
                return Err(StudyError::field(
                    "members.values",
                    &member.values.len(),
                    &allowed,
                ));
            }
        }
        Ok(())
    }

    /// Its members, the most central one first.
    pub fn members(&self) -> Vec<Member> {
        let all = self.members.iter();
        all.map(|m| Member {
            values: m.values.clone(),
        })
        .collect()
    }
}
