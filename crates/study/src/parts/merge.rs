//! Parts put together: every ear once, or what is missing and what is there twice.

use std::path::{Path, PathBuf};

use lithodrome_rehearsal::io_reason;

use super::part::{PartHead, read_part};
use crate::StudyError;
use crate::runs::Row;
use crate::study_file::Study;

/// The parts' files in a folder, by name.
///
/// # Errors
/// A folder that cannot be read.
pub fn part_files(folder: &Path) -> Result<Vec<PathBuf>, StudyError> {
    let failed = |e: std::io::Error| StudyError::Read {
        path: folder.to_owned(),
        reason: io_reason(&e),
    };
    let mut paths = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(failed)? {
        let path = entry.map_err(failed)?.path();
        if path.extension().is_some_and(|e| e == "rows") {
            paths.push(path);
        }
    }
    paths.sort();
    Ok(paths)
}

/// The study and all rows of the parts in a folder, as one machine would have computed them.
pub fn merge(folder: &Path) -> Result<(Study, Vec<Row>), StudyError> {
    let unusable = |reason: String| StudyError::Part {
        path: folder.to_owned(),
        reason,
    };
    let paths = part_files(folder)?;
    let mut first: Option<PartHead> = None;
    let mut rows: Vec<Row> = Vec::new();
    for path in &paths {
        let (head, part_rows) = read_part(path)?;
        if let Some(first) = &first
            && (first.study != head.study || first.version != head.version)
        {
            return Err(StudyError::Part {
                path: path.clone(),
                reason: "is of another study or another version than the parts before it"
                    .to_owned(),
            });
        }
        first.get_or_insert(head);
        rows.extend(part_rows);
    }
    let Some(PartHead { study, .. }) = first else {
        return Err(unusable("holds no part-….rows file".to_owned()));
    };
    rows.sort_by_key(|row| (row.index, row.sequence));
    check_whole(&study, &rows).map_err(unusable)?;
    Ok((study, rows))
}

/// Every ear with every sequence once; else the first few that are missing or doubled.
fn check_whole(study: &Study, rows: &[Row]) -> Result<(), String> {
    let sequences = study.sequences.len();
    let mut seen = vec![0_u32; study.file.n as usize];
    for row in rows {
        match seen.get_mut(row.index as usize) {
            Some(count) if (row.sequence as usize) < sequences => *count += 1,
            _ => {
                return Err(format!(
                    "found a row of ear {}, which the study has not",
                    row.index
                ));
            }
        }
    }
    let twice = rows
        .windows(2)
        .find(|w| (w[0].index, w[0].sequence) == (w[1].index, w[1].sequence));
    if let Some([row, _]) = twice {
        return Err(format!(
            "ear {} is there twice (sequence {}): parts overlap",
            row.index,
            row.sequence + 1
        ));
    }
    let missing: Vec<usize> = (0..seen.len())
        .filter(|i| (seen[*i] as usize) < sequences)
        .collect();
    match missing.as_slice() {
        [] => Ok(()),
        [first, ..] => Err(format!(
            "{} of {} ears are missing, the first is ear {first}: a part is not finished or not there",
            missing.len(),
            study.file.n
        )),
    }
}
