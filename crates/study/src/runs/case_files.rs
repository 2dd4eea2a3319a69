//! One case of a study as files: an anatomy and a scenario that opens anywhere and runs the same.

use std::path::{Path, PathBuf};

use lithodrome_rehearsal::{write_scenario, write_whole};

use super::{Question, scenario_of};
use crate::StudyError;
use crate::ron_text::to_text;

/// Writes the ear and the scenario of an index into a folder; tells the scenario's path. `sequence` is
/// counted from 0.
pub fn write_case(
    question: &Question,
    sequence: usize,
    index: u32,
    folder: &Path,
) -> Result<PathBuf, StudyError> {
    let Some(of) = question.sequences.get(sequence) else {
        let allowed = format!("0 to {}", question.sequences.len().saturating_sub(1));
        return Err(StudyError::field("sequence", &sequence, &allowed));
    };
    let draw = question.population.draw(index);
    let anatomy = question.population.anatomy(&draw)?;
    let labyrinth = question.population.labyrinth(&draw)?;
    let ear_name = format!("ear-{index:05}.anatomy.ron");
    let mut scenario = scenario_of(question, of, &draw, &labyrinth);
    scenario.title = format!("{}, ear {index}", scenario.title);
    scenario.anatomy.clone_from(&ear_name);
    let ear_text = to_text(&anatomy)?;
    write_whole(&folder.join(ear_name), |out| {
        out.write_all(ear_text.as_bytes())
    })?;
    let path = folder.join(format!("ear-{index:05}-sequence-{}.ron", sequence + 1));
    write_scenario(&scenario, &path)?;
    Ok(path)
}
