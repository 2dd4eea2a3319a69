//! A search as written in a RON file, and what it says once names are looked up.

use std::path::{Path, PathBuf};

use lithodrome_labyrinth::{Anatomy, Canal, CanalId, Ear};
use lithodrome_rehearsal::{Mechanism, load_anatomy};
use serde::{Deserialize, Serialize};

use super::limits::SearchLimits;
use crate::StudyError;
use crate::population::{CaseMixture, Population, StartPlace};
use crate::ron_text::{parse, read_text};
use crate::runs::Sequence;

/// Version of the format that this code reads.
pub const SEARCH_FORMAT: u32 = 1;

/// Most ears of each kind.
const MOST_EARS: u32 = 20_000;
/// Longest hold, s.
const LONGEST_HOLD_S: f64 = 600.0;
/// Most choices of a hold.
const MOST_HOLDS: usize = 4;

/// A search as written in a file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SearchFile {
    /// Version of the format, 1.
    pub format: u32,
    /// What people call it.
    pub title: String,
    /// Where debris is.
    pub case: SearchCase,
    /// Arms in which it starts, all equally likely; as in the mixture if left out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub places: Vec<Mechanism>,
    /// Only diameters between these, µm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub diameter_um: Option<(f64, f64)>,
    /// Name of the shipped mixture, or a path.
    #[serde(default = "usual")]
    pub mixture: String,
    /// What this patient and this chair allow.
    #[serde(default)]
    pub limits: SearchLimits,
    /// Times of a hold to choose from, s; the chosen ones are tuned afterwards.
    #[serde(default = "half_a_minute")]
    pub holds_s: Vec<f64>,
    /// Angles of yaw and track that are tried are multiples of this, degrees.
    #[serde(default = "fifteen")]
    pub grid_deg: f64,
    /// Ears of each kind.
    #[serde(default)]
    pub ears: SearchEars,
    /// What counts as success.
    #[serde(default)]
    pub aim: SearchAim,
    /// Share of planning ears in which a sequence must succeed, or none counts as found; 0 to 1.
    #[serde(default = "half")]
    pub wanted: f64,
    /// Seed of everything that is drawn.
    #[serde(default)]
    pub seed: u32,
    /// Name of a library entry, or path of a scenario, to compare with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub beside: Option<String>,
    /// Free text.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub notes: Option<String>,
}

/// Where debris is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum SearchCase {
    /// In one canal.
    Canal {
        /// Side.
        ear: Ear,
        /// Canal.
        canal: Canal,
    },
    /// In one canal of this ear, nobody knows which: each counts alike.
    ThisEar(Ear),
    /// In this canal of both ears at once: both have to be cleared.
    BothEars(Canal),
}

impl SearchCase {
    /// The canals that it is about.
    pub fn canals(self) -> Vec<CanalId> {
        match self {
            SearchCase::Canal { ear, canal } => vec![CanalId { ear, canal }],
            SearchCase::ThisEar(ear) => Canal::ALL
                .into_iter()
                .map(|canal| CanalId { ear, canal })
                .collect(),
            SearchCase::BothEars(canal) => Ear::ALL
                .into_iter()
                .map(|ear| CanalId { ear, canal })
                .collect(),
        }
    }

    /// In words: "right posterior canal", "right ear, canal unknown", "posterior canals of both ears".
    pub fn name(self) -> String {
        match self {
            SearchCase::Canal { ear, canal } => CanalId { ear, canal }.name(),
            SearchCase::ThisEar(ear) => format!("{} ear, canal unknown", ear.name()),
            SearchCase::BothEars(canal) => format!("{} canals of both ears", canal.name()),
        }
    }
}

/// What counts as success once the patient has sat for a minute.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum SearchAim {
    /// All debris is out of every long arm, in the utricle or in a short arm: what the line graph knows.
    #[default]
    Out,
    /// All debris is in the utricle. A short arm counts as behind the cupula, whether or not it would show; the
    /// line graph knows nothing of that, so that the engine alone chooses by it.
    Cleared,
}

impl SearchAim {
    /// What a sequence does to an ear in which it succeeds, in words.
    pub const fn words(self) -> &'static str {
        match self {
            SearchAim::Out => "out of every long arm",
            SearchAim::Cleared => "cleared",
        }
    }
}

/// How many ears are drawn for what; those of one kind are never used for another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct SearchEars {
    /// For the tables of the line graph, of each canal.
    pub tables: u32,
    /// For the choice among sequences and of their holds, in the engine.
    pub planning: u32,
    /// For the check of what was chosen.
    pub check: u32,
}

impl Default for SearchEars {
    fn default() -> SearchEars {
        SearchEars {
            tables: 64,
            planning: 240,
            check: 480,
        }
    }
}

fn usual() -> String {
    crate::population::USUAL.to_owned()
}

fn half_a_minute() -> Vec<f64> {
    vec![30.0]
}

fn fifteen() -> f64 {
    15.0
}

fn half() -> f64 {
    0.5
}

/// A search with everything in it that its file names.
#[derive(Clone, Debug, PartialEq)]
pub struct Search {
    /// The file.
    pub file: SearchFile,
    /// The mixture, narrowed to the case.
    pub mixture: CaseMixture,
    /// The anatomy that ears are drawn about.
    pub anatomy: Anatomy,
    /// The sequence to compare with.
    pub beside: Option<Sequence>,
}

/// What ears are drawn for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum DrawnFor {
    Tables,
    Planning,
    Check,
}

impl SearchFile {
    /// The files that a search of a file is made of: its own and its mixture, where that is a file.
    pub fn files(&self, file: &Path) -> [PathBuf; 2] {
        let folder = file.parent().unwrap_or(Path::new(""));
        [file.to_owned(), folder.join(&self.mixture)]
    }

    /// Reads and checks a search file.
    pub fn read(path: &Path) -> Result<SearchFile, StudyError> {
        SearchFile::from_ron(&read_text(path)?, path)
    }

    /// The search in a text; `path` is where it is from.
    pub fn from_ron(text: &str, path: &Path) -> Result<SearchFile, StudyError> {
        let file: SearchFile = parse(text, path)?;
        file.check().map_err(|e| e.in_file(path))?;
        Ok(file)
    }

    /// Looks up what the file names; relative paths start from `base_dir`.
    pub fn resolve(self, base_dir: &Path) -> Result<Search, StudyError> {
        self.check()?;
        let mut mixture = CaseMixture::named(&self.mixture, base_dir)?;
        if let Some(first) = self.places.first() {
            mixture = mixture.at((*first).into());
            let weigh = |place: &Mechanism| crate::PlaceShare {
                at: (*place).into(),
                weight: 1.0,
            };
            mixture.debris.place.value = self.places.iter().map(weigh).collect();
        }
        if let Some((from_um, to_um)) = self.diameter_um {
            mixture = mixture.sized(from_um, to_um);
            mixture.check()?;
        }
        for place in &mixture.debris.place.value {
            if !is_in_duct(place.at) {
                let allowed = "debris free in the duct: Duct, AmpullaryArm or NonAmpullaryArm";
                let found = format!("{:?}", place.at);
                return Err(StudyError::field("debris.place", &found, &allowed));
            }
        }
        let anatomy = load_anatomy(&mixture.ears.anatomy, base_dir)?;
        let beside = self.beside.as_ref();
        let beside = beside.map(|name| Sequence::named(name, base_dir));
        Ok(Search {
            beside: beside.transpose()?,
            file: self,
            mixture,
            anatomy,
        })
    }

    /// Every value within its range.
    pub fn check(&self) -> Result<(), StudyError> {
        if self.format != SEARCH_FORMAT {
            return Err(StudyError::field("format", &self.format, &SEARCH_FORMAT));
        }
        if self.title.trim().is_empty() {
            return Err(StudyError::field("title", &"an empty text", &"a text"));
        }
        for place in &self.places {
            if !is_in_duct((*place).into()) {
                let allowed = "AmpullaryArm, NonAmpullaryArm";
                return Err(StudyError::field("places", &format!("{place:?}"), &allowed));
            }
        }
        if let Some((from, to)) = self.diameter_um
            && !(from > 0.0 && from <= to && to <= 1000.0)
        {
            let found = format!("({from}, {to})");
            let allowed = "two diameters in µm from 0 to 1000, the smaller first";
            return Err(StudyError::field("diameter_um", &found, &allowed));
        }
        self.limits.check()?;
        let holds = self.holds_s.len();
        if !(1..=MOST_HOLDS).contains(&holds) {
            let allowed = format!("1 to {MOST_HOLDS} times");
            return Err(StudyError::field("holds_s", &holds, &allowed));
        }
        for hold_s in &self.holds_s {
            if !(1.0..=LONGEST_HOLD_S).contains(hold_s) {
                let allowed = format!("1 to {LONGEST_HOLD_S} s");
                return Err(StudyError::field("holds_s", hold_s, &allowed));
            }
        }
        let parts = 180.0 / self.grid_deg;
        if !(5.0..=45.0).contains(&self.grid_deg) || (parts - parts.round()).abs() > 1e-9 {
            let allowed = "5 to 45 degrees, a whole part of 180";
            return Err(StudyError::field("grid_deg", &self.grid_deg, &allowed));
        }
        let SearchEars {
            tables,
            planning,
            check,
        } = self.ears;
        for (name, found, least, most) in [
            ("tables", tables, 8, 1024),
            ("planning", planning, 16, MOST_EARS),
            ("check", check, 16, MOST_EARS),
        ] {
            if !(least..=most).contains(&found) {
                let allowed = format!("{least} to {most} ears");
                return Err(StudyError::field(&format!("ears.{name}"), &found, &allowed));
            }
        }
        if !(0.0..=1.0).contains(&self.wanted) {
            return Err(StudyError::field("wanted", &self.wanted, &"0 to 1"));
        }
        Ok(())
    }
}

impl Search {
    /// The population that ears of one kind are drawn from; each kind has a seed of its own.
    pub(super) fn population(&self, of: DrawnFor) -> Result<Population, StudyError> {
        let kind = match of {
            DrawnFor::Tables => 0,
            DrawnFor::Planning => 1,
            DrawnFor::Check => 2,
        };
        let seed = self.file.seed.wrapping_mul(3).wrapping_add(kind);
        let (mixture, anatomy) = (self.mixture.clone(), self.anatomy.clone());
        Population::new(mixture, anatomy, seed)
    }
}

fn is_in_duct(place: StartPlace) -> bool {
    matches!(
        place,
        StartPlace::Duct { .. } | StartPlace::AmpullaryArm | StartPlace::NonAmpullaryArm
    )
}
