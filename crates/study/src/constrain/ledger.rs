//! What has been looked at, on disk: one line for every member, so that a run goes on where it was left.

use std::collections::BTreeMap;
use std::fs::{File, OpenOptions};
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};

use lithodrome_debris::MODEL_VERSION;

use super::asked::ConstrainAsked;
use super::evaluate::Evaluation;
use crate::StudyError;

/// Members looked at so far, by wave and place in it.
#[derive(Debug, Default)]
pub struct Ledger {
    done: BTreeMap<(u32, u32), Evaluation>,
    file: Option<(PathBuf, File)>,
}

impl Ledger {
    /// One that is kept in memory only.
    pub fn in_memory() -> Ledger {
        Ledger::default()
    }

    /// The one in a file, which is begun if it is not there. A last line that was cut off is dropped.
    ///
    /// # Errors
    /// A file of another question, another version or another model, whose members are not those asked for.
    pub fn open(path: &Path, asked: &ConstrainAsked) -> Result<Ledger, StudyError> {
        let head = head_line(asked);
        let failed = |e: std::io::Error| StudyError::Part {
            path: path.to_owned(),
            reason: e.to_string(),
        };
        let mut done = BTreeMap::new();
        let mut whole_bytes = 0;
        if path.exists() {
            let mut reader = BufReader::new(File::open(path).map_err(failed)?);
            let mut line = String::new();
            reader.read_line(&mut line).map_err(failed)?;
            if line.ends_with('\n') {
                if line != head {
                    return Err(failed(std::io::Error::other(
                        "holds members of another question or another version; use an empty folder",
                    )));
                }
                whole_bytes = line.len() as u64;
            }
            line.clear();
            while whole_bytes > 0 && reader.read_line(&mut line).map_err(failed)? > 0 {
                if !line.ends_with('\n') {
                    break;
                }
                let evaluation: Evaluation =
                    serde_json::from_str(&line).map_err(|e| StudyError::Part {
                        path: path.to_owned(),
                        reason: e.to_string(),
                    })?;
                done.insert((evaluation.wave, evaluation.index), evaluation);
                whole_bytes += line.len() as u64;
                line.clear();
            }
        }
        let mut file = OpenOptions::new()
            .create(true)
            .append(true)
            .open(path)
            .map_err(failed)?;
        file.set_len(whole_bytes).map_err(failed)?;
        if whole_bytes == 0 {
            file.write_all(head.as_bytes()).map_err(failed)?;
        }
        Ok(Ledger {
            done,
            file: Some((path.to_owned(), file)),
        })
    }

    /// Whether a member has been looked at.
    pub fn has(&self, wave: u32, index: u32) -> bool {
        self.done.contains_key(&(wave, index))
    }

    /// Takes a member's evaluation.
    pub fn add(&mut self, evaluation: Evaluation) -> Result<(), StudyError> {
        if let Some((path, file)) = &mut self.file {
            let failed = |reason: String| StudyError::Part {
                path: path.clone(),
                reason,
            };
            let mut line = serde_json::to_string(&evaluation).map_err(|e| failed(e.to_string()))?;
            line.push('\n');
            file.write_all(line.as_bytes())
                .and_then(|()| file.flush())
                .map_err(|e| failed(e.to_string()))?;
        }
        self.done
            .insert((evaluation.wave, evaluation.index), evaluation);
        Ok(())
    }

    /// All, by wave and place.
    pub fn all(&self) -> impl Iterator<Item = &Evaluation> + Clone {
        self.done.values()
    }
}

/// The first line of a file: the same for the same question, asked of the same version. Threads change nothing.
fn head_line(asked: &ConstrainAsked) -> String {
    let ConstrainAsked {
        members,
        ears,
        seed,
        ..
    } = asked;
    let version = env!("CARGO_PKG_VERSION");
    format!(
        "{{\"version\":\"{version}, model {MODEL_VERSION}\",\"members\":{members:?},\"ears\":{ears},\"seed\":{seed}}}\n"
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::constrain::Outcomes;

    fn asked(seed: u32) -> ConstrainAsked {
        ConstrainAsked {
            members: vec![3],
            ears: 6,
            seed,
            threads: None,
        }
    }

    fn evaluation(index: u32) -> Evaluation {
        let mut outcomes = Outcomes::new();
        outcomes.insert("x".to_owned(), (0.1 + f64::from(index), 1.0 / 3.0));
        Evaluation {
            wave: 1,
            index,
            values: vec![0.1, 0.7],
            ears: 6,
            failed: 0,
            outcomes,
        }
    }

    #[test]
    fn a_cut_off_line_is_dropped_and_the_rest_is_kept() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("ledger.jsonl");
        let mut ledger = Ledger::open(&path, &asked(1)).unwrap();
        for index in [2, 0, 1] {
            ledger.add(evaluation(index)).unwrap();
        }
        drop(ledger);
        let text = std::fs::read_to_string(&path).unwrap();
        std::fs::write(&path, &text[..text.len() - 7]).unwrap();
        let mut again = Ledger::open(&path, &asked(1)).unwrap();
        assert!(again.has(1, 2) && again.has(1, 0) && !again.has(1, 1));
        again.add(evaluation(1)).unwrap();
        drop(again);
        let whole = Ledger::open(&path, &asked(1)).unwrap();
        let all: Vec<_> = whole.all().cloned().collect();
        assert_eq!(all, [0, 1, 2].map(evaluation));
        let other = Ledger::open(&path, &asked(2)).unwrap_err().to_string();
        assert!(other.contains("another question"), "{other}");
    }
}
