//! The published outcomes, read from the tables in `assets/findings`.

use lithodrome_labyrinth::Canal;
use serde::Deserialize;

use crate::StudyError;

/// Share of ears in which a defining sign has to come out.
const DEFINING: f64 = 0.8;

/// Model error of a positional finding's share (assumed): what the way of judging a direction does.
const FINDING_ERROR: f64 = 0.1;

/// Where an outcome is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Stage {
    /// In the ear in the middle of a member's ears.
    Typical,
    /// Over a member's ears.
    Population,
}

/// How observations become one number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// The mean of ones and zeros.
    Share,
    /// The median over the ears in which there is one.
    Median,
    /// The value itself.
    Value,
}

/// A published outcome.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Its name in files.
    pub id: String,
    /// Where it is measured.
    pub stage: Stage,
    /// What is measured.
    pub kind: Kind,
    /// The canal that has debris.
    pub canal: Canal,
    /// Least published value.
    pub least: f64,
    /// Greatest published value.
    pub most: f64,
    /// Standard deviation of what print says about these two.
    pub spread: f64,
    /// How far off a right model may be, one standard deviation; stated, not measured.
    pub model_error: f64,
    /// Whether history matching is given it.
    pub given: bool,
    /// In words.
    pub what: String,
    /// Who published it.
    pub source: String,
}

/// A published direction of nystagmus in a step of a test.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct PositionalRow {
    /// Its number.
    pub row: u32,
    /// The test, by its library name.
    pub entry: String,
    /// Its step, from 1.
    pub step: usize,
    /// Name of the canal.
    pub canal: String,
    /// Where the debris is.
    pub place: String,
    /// "up", "down" or "none".
    pub vertical: String,
    /// Ear that the upper poles beat toward, or "none".
    pub torsion: String,
    /// "right", "left" or "none".
    pub horizontal: String,
    /// Least published share; a defining sign if left out.
    pub least: Option<f64>,
    /// Greatest published share.
    pub most: Option<f64>,
    /// Of which ears it is a share: "all", or "seen" for those that show any nystagmus.
    pub of: String,
    /// "yes" if history matching is given it.
    pub given: String,
    /// Who published it.
    pub source: String,
    /// What is to be said about it.
    pub note: String,
}

#[derive(Deserialize)]
struct Line {
    id: String,
    stage: Stage,
    kind: Kind,
    canal: String,
    least: f64,
    most: f64,
    spread: f64,
    model_error: f64,
    given: String,
    what: String,
    source: String,
}

/// All that is published.
#[derive(Clone, Debug, PartialEq)]
pub struct Published {
    /// Every outcome, those of the positional rows last.
    pub outcomes: Vec<Outcome>,
    /// The positional rows.
    pub rows: Vec<PositionalRow>,
}

impl PositionalRow {
    /// Name of its outcome.
    pub fn id(&self) -> String {
        format!("row_{}", self.row)
    }

    /// The canal.
    pub fn canal(&self) -> Canal {
        canal_named(&self.canal).unwrap_or(Canal::Posterior)
    }

    /// What is wanted, in words.
    pub fn want(&self) -> String {
        let mut parts = Vec::new();
        if self.vertical != "none" {
            parts.push(self.vertical.clone());
        }
        if self.torsion != "none" {
            parts.push(format!("upper pole {}", self.torsion));
        }
        if self.horizontal != "none" {
            parts.push(self.horizontal.clone());
        }
        if parts.is_empty() {
            return "nothing".to_owned();
        }
        parts.join(", ")
    }

    fn outcome(&self) -> Outcome {
        Outcome {
            id: self.id(),
            stage: Stage::Population,
            kind: Kind::Share,
            canal: self.canal(),
            least: self.least.unwrap_or(DEFINING),
            most: self.most.unwrap_or(1.0),
            spread: 0.0,
            model_error: FINDING_ERROR,
            given: self.given == "yes",
            what: format!(
                "{}, step {}, {} canal, {}: {}",
                self.entry,
                self.step,
                self.canal,
                self.place,
                self.want()
            ),
            source: self.source.clone(),
        }
    }
}

impl Published {
    /// The shipped tables.
    ///
    /// # Errors
    /// None with the shipped files.
    pub fn shipped() -> Result<Published, StudyError> {
        let lines: Vec<Line> = table(include_bytes!("../../../../assets/findings/outcomes.csv"))?;
        let rows: Vec<PositionalRow> =
            table(include_bytes!("../../../../assets/findings/positional.csv"))?;
        let own = lines.into_iter().map(|line| {
            let canal = canal_named(&line.canal)
                .ok_or_else(|| StudyError::field("canal", &line.canal, &"a canal's name"))?;
            Ok(Outcome {
                id: line.id,
                stage: line.stage,
                kind: line.kind,
                canal,
                least: line.least,
                most: line.most,
                spread: line.spread,
                model_error: line.model_error,
                given: line.given == "yes",
                what: line.what,
                source: line.source,
            })
        });
        let mut outcomes = own.collect::<Result<Vec<_>, StudyError>>()?;
        outcomes.extend(rows.iter().map(PositionalRow::outcome));
        Ok(Published { outcomes, rows })
    }

    /// The outcome with this name.
    pub fn outcome(&self, id: &str) -> Option<&Outcome> {
        self.outcomes.iter().find(|o| o.id == id)
    }
}

impl Outcome {
    /// How far a value is from what is published, in standard deviations of print, model and
    /// `sampling` together.
    pub fn distance(&self, value: f64, sampling: f64) -> f64 {
        let outside = (self.least - value).max(value - self.most).max(0.0);
        let sd = self
            .spread
            .hypot(self.model_error)
            .hypot(sampling)
            .max(1e-9);
        outside / sd
    }
}

fn canal_named(name: &str) -> Option<Canal> {
    Canal::ALL.into_iter().find(|c| c.name() == name)
}

fn table<T: serde::de::DeserializeOwned>(bytes: &[u8]) -> Result<Vec<T>, StudyError> {
    csv::Reader::from_reader(bytes)
        .deserialize()
        .collect::<Result<_, _>>()
        .map_err(|e| StudyError::Text(e.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tables_are_read_whole_and_sound() {
        let published = Published::shipped().unwrap();
        assert_eq!(published.rows.len(), 27);
        for outcome in &published.outcomes {
            assert!(outcome.least <= outcome.most, "{}", outcome.id);
            assert!(
                outcome.spread.hypot(outcome.model_error) > 0.0,
                "{}",
                outcome.id
            );
            assert!(!outcome.source.is_empty(), "{}", outcome.id);
        }
        let mut ids: Vec<_> = published.outcomes.iter().map(|o| &o.id).collect();
        ids.sort();
        ids.dedup();
        assert_eq!(ids.len(), published.outcomes.len());
    }

    #[test]
    fn a_distance_counts_what_lies_outside_in_standard_deviations() {
        let published = Published::shipped().unwrap();
        let mut outcome = published.outcome("row_1").unwrap().clone();
        (outcome.spread, outcome.model_error) = (0.03, 0.04);
        // By hand: 0.8 wanted, 0.65 found, sd 0.05.
        assert!((outcome.distance(0.65, 0.0) - 3.0).abs() < 1e-9);
        assert!(outcome.distance(0.9, 0.0) < 1e-12);
        // With a sampling error of 0.12 the sd is 0.13.
        assert!((outcome.distance(0.54, 0.12) - 2.0).abs() < 1e-9);
    }
}
