//! Scenario files: read and checked, checked and written.

use std::path::Path;

use crate::check::check;
use crate::error::RehearsalError;
use crate::files::{read_text, write_whole};
use crate::scenario::{Scenario, scenario_from_ron, scenario_to_ron};

/// Reads and checks a scenario file.
pub fn read_scenario(path: &Path) -> Result<Scenario, RehearsalError> {
    let scenario = scenario_from_ron(&read_text(path)?, path)?;
    check(&scenario).map_err(|e| RehearsalError::from(e).in_file(path))?;
    Ok(scenario)
}

/// Writes a scenario file: to a temporary file first, then renamed. One that could not be read again
/// is not written.
pub fn write_scenario(scenario: &Scenario, path: &Path) -> Result<(), RehearsalError> {
    check(scenario).map_err(|e| RehearsalError::from(e).in_file(path))?;
    let text = scenario_to_ron(scenario).map_err(|e| RehearsalError::Write {
        path: path.to_owned(),
        reason: e.to_string(),
    })?;
    write_whole(path, |w| w.write_all(text.as_bytes()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::full;

    #[test]
    fn what_is_written_reads_back_exactly() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.ron");
        write_scenario(&full(), &path).unwrap();
        assert_eq!(read_scenario(&path).unwrap(), full());
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_scenario_that_cannot_be_read_again_is_not_written() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.ron");
        let mut scenario = full();
        scenario.steps[0].hold_s = f64::NAN;
        let message = write_scenario(&scenario, &path).unwrap_err().to_string();
        assert!(message.contains("steps[1].hold_s: found NaN"), "{message}");
        assert!(!path.exists());
    }
}
