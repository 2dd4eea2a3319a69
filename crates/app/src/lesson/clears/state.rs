//! What the window knows of what clears a case.

use std::{collections::BTreeMap, sync::Arc};

use lithodrome_study::{MapQuestion, Ranked, holds_on_cupula, ranked};

pub use super::known::{Beside, CarriedOf, Known, MapPlace, MapSource, Opened, WhichEar};
use super::{
    desk::Desk,
    whole::{MapRow, whole_map},
};

/// Looks at it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ClearsView {
    /// The ranking.
    #[default]
    Ranking,
    /// The run of a manoeuvre on the stages.
    Run,
    /// Two manoeuvres beside each other.
    Beside,
    /// The whole map.
    Map,
}

/// All of it.
#[derive(Default)]
pub struct ClearsState {
    /// How it is looked at.
    pub view: ClearsView,
    /// The case and the patient.
    pub asked: MapQuestion,
    /// The map, once it has been read.
    pub known: Option<Arc<Known>>,
    /// The manoeuvres for the question.
    pub ranked: Arc<Vec<Ranked>>,
    /// How firmly debris is held on the cupula in each ear, times its weight; empty where it is free.
    pub holds_g: Vec<f64>,
    /// The whole map for the ear and the size asked about.
    pub rows: Arc<Vec<MapRow>>,
    /// The whole map shows the manoeuvres of the other ear.
    pub other_side: bool,
    /// Manoeuvres chosen to be set beside each other, at most two.
    pub marked: Vec<String>,
    /// The run on the stages, of the case asked about.
    pub opened: Option<Opened>,
    /// Two manoeuvres beside each other.
    pub beside: Option<Arc<Beside>>,
    /// A manoeuvre carried in other ways.
    pub carried: Option<Arc<CarriedOf>>,
    /// Sentences of cells that were asked about, of whatever ear and size.
    pub whys: BTreeMap<MapPlace, String>,
    /// The cell asked about last.
    pub why: Option<MapPlace>,
    /// The path of a map, as it is typed.
    pub path: String,
    /// What went wrong last, in words.
    pub words: Option<String>,
    /// Computes runs.
    pub(super) desk: Desk,
    /// Computes why.
    pub(super) why_desk: Desk,
}

impl ClearsState {
    /// Something is being computed.
    pub fn is_busy(&self) -> bool {
        self.desk.is_busy() || self.why_desk.is_busy()
    }

    /// Nothing is known yet, and nobody has asked for it.
    pub fn is_untouched(&self) -> bool {
        self.known.is_none() && !self.desk.is_busy() && self.words.is_none()
    }

    /// A row by its name.
    pub fn row(&self, name: &str) -> Option<&Ranked> {
        self.ranked.iter().find(|row| row.name == name)
    }

    /// Answers the question anew.
    pub(super) fn answer(&mut self) {
        let Some(known) = &self.known else { return };
        let rows = ranked(&known.map, &known.treatments, &self.asked);
        self.ranked = Arc::new(rows);
        self.holds_g = match holds_on_cupula(&known.map, &self.asked) {
            Ok(holds_g) => holds_g,
            Err(error) => {
                self.words = Some(error.to_string());
                Vec::new()
            }
        };
        self.rows = Arc::new(whole_map(known, &self.asked, self.other_side));
    }

    /// Runs of another case, computed or under way, are no answer to this one.
    pub(super) fn forget_runs(&mut self) {
        self.desk.stop_questions();
        self.opened = None;
        (self.beside, self.carried) = (None, None);
    }

    /// No cell is asked about.
    pub(super) fn forget_why(&mut self) {
        self.why_desk.stop_questions();
        self.why = None;
    }

    /// What pictures of it need.
    pub(crate) fn for_pictures(&self) -> ClearsState {
        ClearsState {
            asked: self.asked,
            known: self.known.clone(),
            ranked: self.ranked.clone(),
            holds_g: self.holds_g.clone(),
            rows: self.rows.clone(),
            other_side: self.other_side,
            whys: self.whys.clone(),
            why: self.why.clone(),
            ..ClearsState::default()
        }
    }
}
