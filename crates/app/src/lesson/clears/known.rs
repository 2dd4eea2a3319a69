//! A map that has been read, places in it, and the runs that are computed from it.

use std::{path::PathBuf, sync::Arc};

use lithodrome_labyrinth::{Canal, Ear};
use lithodrome_rehearsal::{Mechanism, Parting};
use lithodrome_study::{Carried, MapQuestion, OutcomeMap, RunEnd, Treatment};

use crate::work::stage_data::Loaded;

/// Where a map is from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MapSource {
    /// It comes with the program.
    Shipped,
    /// A file.
    File(PathBuf),
}

/// A map and what its manoeuvres ask of a patient.
#[derive(Clone, Debug)]
pub struct Known {
    /// The map.
    pub map: OutcomeMap,
    /// The manoeuvres.
    pub treatments: Vec<Treatment>,
}

impl Known {
    /// A treatment by its name.
    pub fn treatment(&self, name: &str) -> Option<&Treatment> {
        self.treatments.iter().find(|t| t.entry.name == name)
    }
}

/// A place of the whole map, for one ear and one size of debris.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct MapPlace {
    /// Name of the manoeuvre, for that ear.
    pub name: String,
    /// The ear that has debris.
    pub ear: Ear,
    /// Which of the sizes of the map.
    pub size: usize,
    /// Canal of that ear.
    pub canal: Canal,
    /// Where in it.
    pub place: Mechanism,
}

/// Which ear of the map a run is shown in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhichEar {
    /// The first that ends as most do.
    Usual,
    /// The first that ends so; `None` is a run that failed.
    Ends(Option<RunEnd>),
}

/// A run of a manoeuvre in an ear of the map.
#[derive(Clone)]
pub struct Opened {
    /// The case.
    pub asked: MapQuestion,
    /// Name of the manoeuvre.
    pub name: String,
    /// Which ear, counted from 0.
    pub ear: u32,
    /// For the stages.
    pub loaded: Arc<Loaded>,
}

/// Two manoeuvres in one ear.
#[derive(Clone)]
pub struct Beside {
    /// The case.
    pub asked: MapQuestion,
    /// Titles of the manoeuvres.
    pub titles: [String; 2],
    /// Which ear, counted from 0.
    pub ear: u32,
    /// How each ends in the map.
    pub ends: [Option<RunEnd>; 2],
    /// The runs.
    pub runs: [Arc<Loaded>; 2],
    /// Where they part first.
    pub parting: Option<Parting>,
}

/// A manoeuvre carried in other ways, in the same ears.
#[derive(Clone, Debug)]
pub struct CarriedOf {
    /// The case.
    pub asked: MapQuestion,
    /// Name of the manoeuvre.
    pub name: String,
    /// One of each way.
    pub rows: Vec<Carried>,
}
