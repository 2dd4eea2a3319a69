//! A study as written in a RON file, and what it says once names are looked up.

use std::path::{Path, PathBuf};

use lithodrome_labyrinth::{Anatomy, Canal, CanalId, Ear};
use lithodrome_rehearsal::{Mechanism, load_anatomy, write_whole};
use serde::{Deserialize, Serialize};

use crate::StudyError;
use crate::population::{CaseMixture, MOST_EARS, Population};
use crate::ron_text::{parse, read_text, to_text};
use crate::runs::{Judging, Question, Sequence};
use crate::sweep::{SweepAxis, check_axes, points};

/// Ears of a study in which the nearest miss is looked for: enough for its quantiles.
const MISSES_OF: u32 = 100;

/// Version of the format that this code reads.
pub const STUDY_FORMAT: u32 = 1;

/// Most sequences of one study.
const MOST_SEQUENCES: usize = 64;

/// A study as written in a file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StudyFile {
    /// Version of the format, 1.
    pub format: u32,
    /// What people call it.
    pub title: String,
    /// The case.
    pub case: StudyCase,
    /// Name of the shipped mixture, or a path.
    #[serde(default = "usual")]
    pub mixture: String,
    /// Ears.
    pub n: u32,
    /// Seed of everything that is drawn.
    #[serde(default)]
    pub seed: u32,
    /// Names of library entries, or paths of scenarios; the others are compared with the first.
    pub sequences: Vec<String>,
    /// How far each run is followed.
    #[serde(default)]
    pub judging: Judging,
    /// One or two things to vary in the first sequence.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sweep: Vec<SweepAxis>,
    /// The success whose contour is drawn over a sweep of two things, 0 to 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wanted: Option<f64>,
    /// Free text.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub notes: Option<String>,
}

impl StudyFile {
    /// The files that a study of a file is made of: its own, its mixture, its sequences, as far as they are files.
    pub fn files(&self, file: &Path) -> Vec<PathBuf> {
        let folder = file.parent().unwrap_or(Path::new(""));
        let named = self.sequences.iter().chain([&self.mixture]);
        let named = named.map(|name| folder.join(name));
        std::iter::once(file.to_owned()).chain(named).collect()
    }
}

/// The canal that has debris, and what narrows the mixture.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StudyCase {
    /// Side.
    pub ear: Ear,
    /// Canal.
    pub canal: Canal,
    /// All debris here instead of the mixture's places.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<Mechanism>,
    /// Only diameters between these, µm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub diameter_um: Option<(f64, f64)>,
}

fn usual() -> String {
    crate::population::USUAL.to_owned()
}

/// A study with everything in it that its file names: what parts on other machines are told.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Study {
    /// The file.
    pub file: StudyFile,
    /// The mixture, narrowed to the case.
    pub mixture: CaseMixture,
    /// The anatomy that ears are drawn about.
    pub anatomy: Anatomy,
    /// The sequences as in the file, then those of the sweep's grid.
    pub sequences: Vec<Sequence>,
}

impl StudyFile {
    /// Reads and checks a study file.
    pub fn read(path: &Path) -> Result<StudyFile, StudyError> {
        StudyFile::from_ron(&read_text(path)?, path)
    }

    /// The study in a text; `path` is where it is from.
    pub fn from_ron(text: &str, path: &Path) -> Result<StudyFile, StudyError> {
        let file: StudyFile = parse(text, path)?;
        file.check().map_err(|e| e.in_file(path))?;
        Ok(file)
    }

    /// Writes the file, whole or not at all.
    pub fn write(&self, path: &Path) -> Result<(), StudyError> {
        self.check()?;
        let text = to_text(self)?;
        write_whole(path, |out| out.write_all(text.as_bytes()))?;
        Ok(())
    }

    /// Looks up what the file names; relative paths start from `base_dir`.
    pub fn resolve(self, base_dir: &Path) -> Result<Study, StudyError> {
        let named = |name: &String| Sequence::named(name, base_dir);
        let sequences = self.sequences.iter().map(named);
        let sequences = sequences.collect::<Result<Vec<_>, StudyError>>()?;
        self.resolve_with(sequences, base_dir)
    }

    /// The same with sequences that are at hand already, in the order in which the file names them.
    pub fn resolve_with(
        self,
        mut sequences: Vec<Sequence>,
        base_dir: &Path,
    ) -> Result<Study, StudyError> {
        self.check()?;
        if sequences.len() != self.sequences.len() {
            let allowed = format!("{}, as many as are named", self.sequences.len());
            return Err(StudyError::field("sequences", &sequences.len(), &allowed));
        }
        let mut mixture = CaseMixture::named(&self.mixture, base_dir)?;
        if let Some(place) = self.case.place {
            mixture = mixture.at(place.into());
        }
        if let Some((from_um, to_um)) = self.case.diameter_um {
            mixture = mixture.sized(from_um, to_um);
            mixture.check()?;
        }
        let anatomy = load_anatomy(&mixture.ears.anatomy, base_dir)?;
        if !self.sweep.is_empty() {
            let varied = sequences[0].clone();
            check_axes(&self.sweep, &varied)?;
            sequences.extend(points(&self.sweep, &varied));
        }
        Ok(Study {
            file: self,
            mixture,
            anatomy,
            sequences,
        })
    }

    fn check(&self) -> Result<(), StudyError> {
        if self.format != STUDY_FORMAT {
            return Err(StudyError::field("format", &self.format, &STUDY_FORMAT));
        }
        if self.title.trim().is_empty() {
            return Err(StudyError::field("title", &"an empty text", &"a text"));
        }
        if !(1..=MOST_EARS).contains(&self.n) {
            return Err(StudyError::field(
                "n",
                &self.n,
                &format!("1 to {MOST_EARS} ears"),
            ));
        }
        let sequences = self.sequences.len();
        if !(1..=MOST_SEQUENCES).contains(&sequences) {
            let allowed = format!("1 to {MOST_SEQUENCES}");
            return Err(StudyError::field("sequences", &sequences, &allowed));
        }
        if let Some(wanted) = self.wanted
            && !(0.0..=1.0).contains(&wanted)
        {
            return Err(StudyError::field("wanted", &wanted, &"0 to 1"));
        }
        if let Some((from, to)) = self.case.diameter_um
            && !(from > 0.0 && from <= to && to <= 1000.0)
        {
            let found = format!("({from}, {to})");
            let allowed = "two diameters in µm from 0 to 1000, the smaller first";
            return Err(StudyError::field("case.diameter_um", &found, &allowed));
        }
        Ok(())
    }
}

impl Study {
    /// The canal that has debris.
    pub fn canal(&self) -> CanalId {
        CanalId {
            ear: self.file.case.ear,
            canal: self.file.case.canal,
        }
    }

    /// What is to be computed.
    pub fn question(&self) -> Result<Question, StudyError> {
        Ok(Question {
            population: Population::new(
                self.mixture.clone(),
                self.anatomy.clone(),
                self.file.seed,
            )?,
            canal: self.canal(),
            sequences: self.sequences.clone(),
            judging: self.file.judging,
            in_lanes: true,
            misses_of: MISSES_OF,
        })
    }
}
