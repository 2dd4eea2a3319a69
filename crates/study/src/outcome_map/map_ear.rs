//! The ears behind a cell of a map: one of them as a scenario, and all of them with the head carried
//! otherwise.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use lithodrome_labyrinth::{Canal, CanalId, Ear, Labyrinth};
use lithodrome_rehearsal::{
    EarsCache, Limits, NeckLimits, STIFF_NECK, Scenario, compile_with, load_anatomy,
};

use super::map::{OutcomeMap, question as case_question};
use super::ranking::MapQuestion;
use crate::StudyError;
use crate::paired::Strain;
use crate::population::CaseMixture;
use crate::runs::{Progress, Question, RunEnd, Sequence, canal_of, compute, scenario_of};
use crate::statistics::Share;

/// One ear of a map, with its debris and a manoeuvre as it was done there.
#[derive(Clone, Debug)]
pub struct MapEar {
    /// Case and manoeuvre.
    pub scenario: Scenario,
    /// Both ears.
    pub labyrinth: Arc<Labyrinth>,
}

/// The ear of an index with a manoeuvre that is written for the ear asked about.
///
/// # Errors
/// A map from a mixture that is not shipped; an ear that cannot be built.
pub fn map_ear(
    map: &OutcomeMap,
    asked: &MapQuestion,
    written: &Scenario,
    index: u32,
) -> Result<MapEar, StudyError> {
    let question = question_of(map, asked, &[sequence("", asked, written)])?;
    let draw = question.population.draw(index);
    let labyrinth = question.population.labyrinth(&draw)?;
    let right = scenario_of(&question, &question.sequences[0], &draw, &labyrinth);
    Ok(MapEar {
        scenario: Scenario {
            limits: Some(asked.limits).filter(|limits| *limits != Limits::default()),
            title: format!(
                "{}, ear {} of {}",
                written.title,
                index + 1,
                map.provenance.ears
            ),
            ..for_ear(&right, asked.canal.ear)
        },
        labyrinth,
    })
}

/// What carries the head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DoneBy {
    /// The chair.
    Chair,
    /// A bed and a healthy neck.
    HealthyNeck,
    /// A bed and a stiff neck.
    StiffNeck,
}

impl DoneBy {
    /// All.
    pub const ALL: [DoneBy; 3] = [DoneBy::Chair, DoneBy::HealthyNeck, DoneBy::StiffNeck];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            DoneBy::Chair => "in the chair",
            DoneBy::HealthyNeck => "on a bed, healthy neck",
            DoneBy::StiffNeck => "on a bed, stiff neck",
        }
    }

    fn carries(self, written: &Scenario) -> Scenario {
        match self {
            DoneBy::Chair => written.clone(),
            DoneBy::HealthyNeck => written.at_bedside(NeckLimits::default()),
            DoneBy::StiffNeck => written.at_bedside(STIFF_NECK),
        }
    }
}

/// A manoeuvre in the ears of a cell, carried in one way.
#[derive(Clone, Debug, PartialEq)]
pub struct Carried {
    /// By what.
    pub carrier: DoneBy,
    /// How each ear ended, `[ear]`; `None` where the run failed.
    pub ends: Vec<Option<RunEnd>>,
    /// Ears in which the debris is out of where it began.
    pub out: Share,
    /// Where the debris of the ears is that switched, and in how many; `None` is the common crus.
    pub switched_to: Vec<(Option<CanalId>, u64)>,
    /// What it asks of a patient.
    pub strain: Strain,
    /// How far the head stays from where it should be at the worst step, degrees; 0 in a chair.
    pub short_deg: f64,
}

/// The manoeuvre in the same ears in the chair, on a bed with a healthy neck and with a stiff one.
pub fn carried(
    map: &OutcomeMap,
    asked: &MapQuestion,
    written: &Scenario,
    threads: Option<usize>,
    progress: &Progress,
) -> Result<Vec<Carried>, StudyError> {
    let carried = DoneBy::ALL.map(|carrier| (carrier, carrier.carries(written)));
    let sequences: Vec<Sequence> = carried
        .iter()
        .map(|(c, s)| sequence(c.name(), asked, s))
        .collect();
    let question = question_of(map, asked, &sequences)?;
    let rows = compute(&question, 0..map.provenance.ears, threads, progress)?;
    let ears = EarsCache::default();
    let told = carried.iter().enumerate().map(|(k, (carrier, scenario))| {
        let mut empty = scenario.clone();
        empty.debris.clear();
        let compiled = compile_with(&empty, Path::new(""), &ears)?;
        let of = || rows.iter().filter(|row| row.sequence as usize == k);
        let mut to: BTreeMap<Option<usize>, u64> = BTreeMap::new();
        for end in of().filter_map(|row| row.end.as_ref().ok()) {
            if end.word == RunEnd::Switched {
                *to.entry(canal_of(end.region).map(Canal::index))
                    .or_default() += 1;
            }
        }
        let canal = |i: usize| CanalId {
            ear: asked.canal.ear,
            canal: Canal::ALL[i],
        };
        let word = |row: &crate::runs::Row| row.end.as_ref().ok().map(|end| end.word);
        let is_out = |row: &crate::runs::Row| word(row).is_some_and(|end| asked.is_out(end));
        Ok(Carried {
            carrier: *carrier,
            ends: of().map(word).collect(),
            out: Share::of_ears(of().map(|row| (row.index, is_out(row)))),
            switched_to: to.into_iter().map(|(i, n)| (i.map(canal), n)).collect(),
            strain: Strain::of(&compiled.motion),
            short_deg: compiled
                .shortfalls
                .iter()
                .map(|s| s.apart_deg)
                .fold(0.0, f64::max),
        })
    });
    told.collect()
}

/// Ears whose debris is held on the cupula between two pulls, and how they ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoldShare {
    /// From this hold on, in multiples of the debris's weight.
    pub from_g: f64,
    /// Up to this.
    pub to_g: f64,
    /// What frees it, as far as the model goes.
    pub freed_by: &'static str,
    /// Ears of this hold in which the debris is out of where it began.
    pub out: Share,
}

/// Gravity frees up to 1, quick moves up to about 1.5, a vibrator up to about 4 (assumed, as are holds).
const HOLDS_G: [(f64, f64, &str); 3] = [
    (0.0, 1.0, "gravity alone can free it"),
    (1.0, 1.5, "a quick throw can free it"),
    (1.5, f64::INFINITY, "only vibration or blows can free it"),
];

/// How firmly the debris of each ear of a cell is held on the cupula, in multiples of its weight, `[ear]`; empty
/// where debris is free.
///
/// # Errors
/// A map from a mixture that is not shipped.
pub fn holds_on_cupula(map: &OutcomeMap, asked: &MapQuestion) -> Result<Vec<f64>, StudyError> {
    if !asked.place.is_on_cupula() {
        return Ok(Vec::new());
    }
    let question = question_of(map, asked, &[])?;
    let ears = 0..map.provenance.ears;
    let holds = ears.filter_map(|index| question.population.draw(index).attachment_g);
    Ok(holds.collect())
}

/// Ends of a cell by how firmly the debris is held on the cupula, `holds_g` of [`holds_on_cupula`].
pub fn shares_by_hold(
    holds_g: &[f64],
    asked: &MapQuestion,
    ends: &[Option<RunEnd>],
) -> Vec<HoldShare> {
    let classes = HOLDS_G.map(|(from_g, to_g, freed_by)| {
        let mine = holds_g.iter().zip(ends);
        let mine = mine.filter(|(g, _)| (from_g..to_g).contains(*g));
        let is_out = |end: &Option<RunEnd>| end.is_some_and(|end| asked.is_out(end));
        let out = mine.clone().filter(|(_, end)| is_out(end)).count() as u64;
        HoldShare {
            from_g,
            to_g,
            freed_by,
            out: Share::of(out, mine.count() as u64),
        }
    });
    classes.into_iter().filter(|c| c.out.of > 0).collect()
}

/// A sequence for the right ear, in which maps are computed.
fn sequence(name: &str, asked: &MapQuestion, written: &Scenario) -> Sequence {
    Sequence {
        name: name.to_owned(),
        scenario: for_ear(written, asked.canal.ear),
        diameter_um: None,
    }
}

/// A scenario of the right ear for this one, and back.
fn for_ear(scenario: &Scenario, ear: Ear) -> Scenario {
    match ear {
        Ear::Right => scenario.clone(),
        Ear::Left => scenario.mirrored(),
    }
}

fn question_of(
    map: &OutcomeMap,
    asked: &MapQuestion,
    sequences: &[Sequence],
) -> Result<Question, StudyError> {
    let from = &map.provenance;
    let mixture = CaseMixture::usual()?;
    if mixture.title != from.mixture {
        let allowed = format!("\"{}\"", mixture.title);
        return Err(StudyError::field("mixture", &from.mixture, &allowed));
    }
    let anatomy = load_anatomy(&mixture.ears.anatomy, Path::new(""))?;
    let case = (asked.canal.canal, asked.place, asked.size_um());
    case_question(&mixture, &anatomy, from.seed, case, sequences)
}
