//! A sequence that is run in many ears.

use std::path::Path;

use lithodrome_labyrinth::text::{nearest_word, quoted};
use lithodrome_rehearsal::{Scenario, library_entry, library_names, read_scenario};
use serde::{Deserialize, Serialize};

use crate::StudyError;

/// A manoeuvre with the name it is told by.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sequence {
    /// Name of its library entry, or its file's as it was asked for.
    pub name: String,
    /// Its steps; debris and anatomy of the scenario are not looked at.
    pub scenario: Scenario,
    /// Diameter of the debris instead of the population's, µm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub diameter_um: Option<f64>,
}

impl Sequence {
    /// A manoeuvre of the library by its name, or a scenario file; relative paths start from `base_dir`.
    pub fn named(name_or_path: &str, base_dir: &Path) -> Result<Sequence, StudyError> {
        let path = base_dir.join(name_or_path);
        let scenario = if let Some(entry) = library_entry(name_or_path) {
            entry?.scenario
        } else if path.extension().is_none() && !path.exists() {
            return Err(StudyError::NoSequence {
                found: quoted(name_or_path),
                nearest: nearest_word(name_or_path, library_names()).map(str::to_owned),
            });
        } else {
            read_scenario(&path)?
        };
        Ok(Sequence {
            name: name_or_path.to_owned(),
            scenario,
            diameter_um: None,
        })
    }
}
