//! A teacher's set of cases: seeds in one file, the same cases for the whole class.

use lithodrome_labyrinth::text::parser_words;
use std::path::Path;

use serde::{Deserialize, Serialize};

use crate::error::{FieldError, RehearsalError};
use crate::files::{read_text, write_whole};
use crate::lesson::{Difficulty, HiddenCase};

/// Version of the format.
const FORMAT: u32 = 1;

/// The most cases of a set.
const MOST_CASES: usize = 500;

/// The cases of a class.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClassSet {
    /// Version of the format, 1.
    pub format: u32,
    /// What the teacher calls it.
    pub title: String,
    /// The cases, in order.
    pub cases: Vec<ClassCase>,
}

/// One case of a set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClassCase {
    /// Its seed.
    pub seed: u64,
    /// Its difficulty; the seed's own if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub difficulty: Option<Difficulty>,
}

impl ClassCase {
    /// The case.
    pub fn case(self) -> HiddenCase {
        match self.difficulty {
            Some(difficulty) => HiddenCase::drawn(self.seed, difficulty),
            None => HiddenCase::of_seed(self.seed),
        }
    }
}

impl ClassSet {
    /// A set of these cases.
    pub fn new(title: &str, cases: Vec<ClassCase>) -> ClassSet {
        ClassSet {
            format: FORMAT,
            title: title.to_owned(),
            cases,
        }
    }
}

fn options() -> ron::Options {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
}

/// Reads a set.
pub fn read_class_set(path: &Path) -> Result<ClassSet, RehearsalError> {
    let text = read_text(path)?;
    let set: ClassSet = options()
        .from_str(&text)
        .map_err(|error| RehearsalError::Syntax {
            path: path.to_owned(),
            line: error.span.start.line,
            column: error.span.start.col,
            reason: parser_words(&error.code),
        })?;
    if set.format != FORMAT {
        return Err(RehearsalError::Format {
            path: path.to_owned(),
            found: set.format,
            allowed: FORMAT,
        });
    }
    let count = set.cases.len();
    if count == 0 || count > MOST_CASES {
        let error = FieldError::new("cases", &count, format!("1 to {MOST_CASES} cases"));
        return Err(RehearsalError::from(error).in_file(path));
    }
    Ok(set)
}

/// Writes a set.
pub fn write_class_set(path: &Path, set: &ClassSet) -> Result<(), RehearsalError> {
    let pretty = ron::ser::PrettyConfig::default();
    let text = options()
        .to_string_pretty(set, pretty)
        .map_err(|error| RehearsalError::Write {
            path: path.to_owned(),
            reason: error.to_string(),
        })?;
    write_whole(path, |file| {
        std::io::Write::write_all(file, text.as_bytes())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_is_the_same_for_everybody() {
        let set = ClassSet::new(
            "Kestrel Valley, first week",
            vec![
                ClassCase {
                    seed: 7,
                    difficulty: None,
                },
                ClassCase {
                    seed: 8,
                    difficulty: Some(Difficulty::Rare),
                },
            ],
        );
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("week-1.ron");
        write_class_set(&path, &set).unwrap();
        let again = read_class_set(&path).unwrap();
        assert_eq!(again, set);
        assert_eq!(
            again.cases[1].case(),
            HiddenCase::drawn(8, Difficulty::Rare)
        );
        std::fs::write(&path, "(format: 1, title: \"T\", cases: [])").unwrap();
        let message = read_class_set(&path).unwrap_err().to_string();
        assert!(message.contains("cases: found 0"), "{message}");
        std::fs::write(&path, "(format: 1, title: \"T\", cases: [(seeds: 1)])").unwrap();
        assert!(read_class_set(&path).is_err());
    }
}
