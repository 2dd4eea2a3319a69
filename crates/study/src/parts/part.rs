//! One part of a study: its share of the ears, and the file that its rows are kept in.
//!
//! The file is text: a line that says which study and part it is, a header, a line for every row in the
//! order of the ears. Rows are added block by block, so a killed part goes on from what is there.

use std::fs::{File, OpenOptions};
use std::io::{BufWriter, Write};
use std::ops::Range;
use std::path::{Path, PathBuf};

use lithodrome_debris::MODEL_VERSION;
use serde::{Deserialize, Serialize};

use super::row_line::{HEADER, row_from_line, row_line};
use crate::StudyError;
use crate::ron_text::{parse, read_long_text, to_line};
use crate::runs::{Progress, Row, compute};
use crate::study_file::Study;

/// Ears after which rows are written down.
const KEPT_AFTER: u32 = 512;

/// Which part of how many.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartNumber {
    /// Which, from 1.
    pub part: u32,
    /// Of how many.
    pub of: u32,
}

/// The first line of a part's file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PartHead {
    pub(super) version: String,
    pub(super) number: PartNumber,
    pub(super) study: Study,
}

impl std::str::FromStr for PartNumber {
    type Err = String;

    /// From "3/64".
    fn from_str(text: &str) -> Result<PartNumber, String> {
        let allowed = "K/N with K from 1 to N, such as 3/64";
        let (part, of) = text.split_once('/').ok_or(allowed)?;
        let number = |text: &str| text.trim().parse::<u32>().map_err(|_| allowed.to_owned());
        let (part, of) = (number(part)?, number(of)?);
        if part >= 1 && part <= of {
            Ok(PartNumber { part, of })
        } else {
            Err(allowed.to_owned())
        }
    }
}

impl PartNumber {
    /// The ears of this part among `n`: one after the other, as even as can be.
    pub fn ears(self, n: u32) -> Range<u32> {
        let at = |k: u32| (u64::from(n) * u64::from(k) / u64::from(self.of)) as u32;
        at(self.part - 1)..at(self.part)
    }

    /// Name of its file.
    pub fn file_name(self) -> String {
        format!("part-{:05}-of-{:05}.rows", self.part, self.of)
    }
}

/// The file of a part, to which rows are added as they are found.
#[derive(Debug)]
pub struct PartFile {
    path: PathBuf,
    file: BufWriter<File>,
    ears: u32,
}

impl PartFile {
    /// Opens the file of a part in `folder`, or begins it. What a kill has cut off in the middle of an ear is gone.
    ///
    /// # Errors
    /// A folder that cannot be written, a file of another study or version.
    pub fn open(study: &Study, number: PartNumber, folder: &Path) -> Result<PartFile, StudyError> {
        std::fs::create_dir_all(folder).map_err(|e| write_error(folder, &e))?;
        let path = folder.join(number.file_name());
        let head = head_line(study, number)?;
        let sequences = study.question()?.sequences.len() as u32;
        let ears = kept_ears(&path, &head, number.ears(study.file.n), sequences)?;
        let file = open(&path, &head, ears == 0)?;
        Ok(PartFile { path, file, ears })
    }

    /// How many ears it has whole, from the first of the part on.
    pub fn ears(&self) -> u32 {
        self.ears
    }

    /// Its rows.
    ///
    /// # Errors
    /// A file that somebody else has changed meanwhile.
    pub fn rows(&self) -> Result<Vec<Row>, StudyError> {
        read_part(&self.path).map(|(_, rows)| rows)
    }

    /// Adds the rows of the next `ears` ears, and waits until they are on the disk.
    ///
    /// # Errors
    /// A disk that is full or gone.
    pub fn add(&mut self, ears: u32, rows: &[Row]) -> Result<(), StudyError> {
        write_rows(&mut self.file, rows).map_err(|e| write_error(&self.path, &e))?;
        self.ears += ears;
        Ok(())
    }
}

/// The first line of a part's file: the same for the same question, asked of the same version.
///
/// # Errors
/// None with a study that has been read.
pub fn head_line(study: &Study, number: PartNumber) -> Result<String, StudyError> {
    to_line(&PartHead {
        version: format!("{}, model {MODEL_VERSION}", env!("CARGO_PKG_VERSION")),
        number,
        study: study.clone(),
    })
}

/// Computes a part and keeps its rows in `folder`, from where it was left; tells its file.
pub fn run_part(
    study: &Study,
    number: PartNumber,
    folder: &Path,
    threads: Option<usize>,
    progress: &Progress,
) -> Result<PathBuf, StudyError> {
    let question = study.question()?;
    let ears = number.ears(study.file.n);
    let mut file = PartFile::open(study, number, folder)?;
    let all = ears.len() as u32;
    let mut from = ears.start + file.ears();
    while from < ears.end {
        let to = (from + KEPT_AFTER).min(ears.end);
        let before = from - ears.start;
        let rows = compute(&question, from..to, threads, &|now, _| {
            progress(before + now, all)
        })?;
        file.add(to - from, &rows)?;
        from = to;
    }
    Ok(file.path)
}

/// Ears that a file has whole, from its first on; what was cut off in a kill is cut off the file too.
fn kept_ears(path: &Path, head: &str, ears: Range<u32>, sequences: u32) -> Result<u32, StudyError> {
    if !path.exists() {
        return Ok(0);
    }
    let text = read_long_text(path)?;
    let mut lines = text.split_inclusive('\n');
    let found = lines.next().unwrap_or_default();
    if found.is_empty() || !found.ends_with('\n') {
        return Ok(0);
    }
    if found.trim_end() != head {
        return Err(StudyError::Part {
            path: path.to_owned(),
            reason: "is of another study or another version; use an empty folder, or remove it"
                .to_owned(),
        });
    }
    let mut kept_bytes = found.len();
    let Some(header) = lines.next().filter(|line| line.trim_end() == HEADER) else {
        return Ok(0);
    };
    kept_bytes += header.len();
    let mut rows = 0;
    let mut pending_bytes = 0;
    for line in lines {
        let expected = (ears.start + rows / sequences, rows % sequences);
        // A last field that is empty ends in a tab.
        let row = line.strip_suffix('\n').and_then(row_from_line);
        if row.is_none_or(|row| (row.index, row.sequence) != expected) {
            break;
        }
        pending_bytes += line.len();
        rows += 1;
        if rows % sequences == 0 {
            kept_bytes += pending_bytes;
            pending_bytes = 0;
        }
    }
    let whole = rows / sequences;
    if whole > 0 {
        let file = OpenOptions::new().write(true).open(path);
        file.and_then(|file| file.set_len(kept_bytes as u64))
            .map_err(|e| write_error(path, &e))?;
    }
    Ok(whole)
}

/// The file to add rows to; a new one has the head.
fn open(path: &Path, head: &str, new: bool) -> Result<BufWriter<File>, StudyError> {
    let opened = if new {
        File::create(path)
    } else {
        OpenOptions::new().append(true).open(path)
    };
    let mut file = BufWriter::new(opened.map_err(|e| write_error(path, &e))?);
    if new {
        writeln!(file, "{head}\n{HEADER}").map_err(|e| write_error(path, &e))?;
    }
    Ok(file)
}

fn write_rows(file: &mut BufWriter<File>, rows: &[Row]) -> std::io::Result<()> {
    for row in rows {
        writeln!(file, "{}", row_line(row))?;
    }
    file.flush()?;
    file.get_ref().sync_data()
}

/// The head and the rows of a part's file.
pub(super) fn read_part(path: &Path) -> Result<(PartHead, Vec<Row>), StudyError> {
    let text = read_long_text(path)?;
    let unusable = |reason: String| StudyError::Part {
        path: path.to_owned(),
        reason,
    };
    let mut lines = text.lines();
    let head: PartHead = parse(lines.next().unwrap_or_default(), path)?;
    if lines.next() != Some(HEADER) {
        return Err(unusable("line 2: the header is not one of rows".to_owned()));
    }
    let rows = lines
        .enumerate()
        .map(|(i, line)| {
            row_from_line(line).ok_or_else(|| unusable(format!("line {}: is not a row", i + 3)))
        })
        .collect::<Result<_, _>>()?;
    Ok((head, rows))
}

pub(super) fn write_error(path: &Path, error: &std::io::Error) -> StudyError {
    StudyError::Write {
        path: path.to_owned(),
        reason: error.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_share_all_ears_without_gap_or_double() {
        for (n, of) in [(10, 3), (1000, 64), (5, 8), (65536, 7)] {
            let mut next = 0;
            for part in 1..=of {
                let ears = PartNumber { part, of }.ears(n);
                assert_eq!(ears.start, next);
                next = ears.end;
            }
            assert_eq!(next, n);
        }
    }

    #[test]
    fn a_part_is_written_as_it_is_read() {
        assert_eq!("3/64".parse(), Ok(PartNumber { part: 3, of: 64 }));
        for text in ["0/4", "5/4", "3", "a/b", "-1/2", ""] {
            assert!(text.parse::<PartNumber>().is_err(), "{text}");
        }
    }
}
