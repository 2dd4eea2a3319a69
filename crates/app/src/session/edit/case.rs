//! Edits of the case: the ear and what moves in it.

use lithodrome_labyrinth::CanalId;
use lithodrome_rehearsal::{CupulaEntry, DebrisEntry, Scenario};

/// One change of the case.
#[derive(Clone, Debug, PartialEq)]
pub enum CaseEdit {
    /// Another group of debris in place of one.
    SetDebris(usize, DebrisEntry),
    /// One more group.
    AddDebris(DebrisEntry),
    /// One group less.
    RemoveDebris(usize),
    /// Name or path of the anatomy.
    Anatomy(String),
    /// How much denser than endolymph a cupula is, kg/m³.
    Cupula(CanalId, Option<f64>),
}

impl CaseEdit {
    pub(super) fn on(&self, scenario: &mut Scenario) {
        match self {
            CaseEdit::SetDebris(i, entry) => {
                if let Some(old) = scenario.debris.get_mut(*i) {
                    old.clone_from(entry);
                }
            }
            CaseEdit::AddDebris(entry) => scenario.debris.push(entry.clone()),
            CaseEdit::RemoveDebris(i) => {
                if *i < scenario.debris.len() {
                    scenario.debris.remove(*i);
                }
            }
            CaseEdit::Anatomy(name) => scenario.anatomy.clone_from(name),
            CaseEdit::Cupula(id, excess) => set_cupula(&mut scenario.cupulae, *id, *excess),
        }
    }
}

/// The others keep their places, so that errors still name the same ones.
fn set_cupula(cupulae: &mut Vec<CupulaEntry>, id: CanalId, excess_kg_m3: Option<f64>) {
    let is_it = |c: &CupulaEntry| (c.ear, c.canal) == (id.ear, id.canal);
    match (excess_kg_m3, cupulae.iter_mut().find(|c| is_it(c))) {
        (Some(excess), Some(cupula)) => cupula.excess_kg_m3 = excess,
        (Some(excess_kg_m3), None) => cupulae.push(CupulaEntry {
            ear: id.ear,
            canal: id.canal,
            excess_kg_m3,
        }),
        (None, _) => cupulae.retain(|c| !is_it(c)),
    }
}
