//! What is believed of a patient before anybody looks: many ears with debris and an operator each, and where
//! debris of each would go in every posture. Made once; any limits can then be tried in a moment.

use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

use lithodrome_labyrinth::{CanalId, Labyrinth, Vec3, frame};
use lithodrome_rehearsal::{At, units::tidy};
use rayon::prelude::*;

use super::file::{DrawnFor, Search};
use super::grid::Grid;
use super::line::{LineDebris, LineGraph};
use super::plan::{FIRST_S, MOST_STEPS, dummy};
use super::stage::{SearchProgress, SearchStage};
use crate::StudyError;
use crate::population::{CaseDraw, Population};
use crate::runs::pool;

/// Half of the moves before and after a hold counts as part of it: so much in all, s.
const MOVING_S: f64 = 2.0;
/// As long as a patient sits after a sequence until it is judged.
const SITS_AFTERWARDS_S: f64 = 70.0;
/// How long a patient has sat with debris that starts where it rests.
const HAS_SAT_S: f64 = 120.0;
/// What progress toward the utricle is worth beside being there.
const PROGRESS: f64 = 0.7;

/// Where debris goes in every posture, ear by ear.
#[derive(Clone, Debug)]
pub struct SearchTables {
    pub(super) grid: Grid,
    pub(super) believed: Vec<Believed>,
    pub(super) headrest_deg: f64,
    pub(super) holds_s: Vec<f64>,
}

/// One ear with its debris and its operator.
#[derive(Clone, Debug)]
pub(super) struct Believed {
    pub(super) graph: LineGraph,
    /// Where a piece is after a hold, `[hold][cell × postures + posture]`.
    after: Vec<Vec<u16>>,
    postures: usize,
    /// Where it is once the patient has sat, `[cell]`.
    pub(super) sat: Vec<u16>,
    pub(super) start: u16,
    /// What it is worth that a piece is in a cell: 1 in the utricle.
    pub(super) worth: Vec<f32>,
    /// The operator's errors of yaw and track in each step, in steps of the grid.
    pub(super) errors: Vec<[i32; 2]>,
}

impl SearchTables {
    /// Makes them; `threads` is as many as there are processors if left out.
    pub fn new(
        search: &Search,
        threads: Option<usize>,
        progress: &SearchProgress,
    ) -> Result<SearchTables, StudyError> {
        let population = search.population(DrawnFor::Tables)?;
        let grid = Grid::new(search.file.grid_deg);
        let canals = search.file.case.canals();
        let cases: Vec<(CanalId, u32)> = canals
            .into_iter()
            .flat_map(|canal| (0..search.file.ears.tables).map(move |index| (canal, index)))
            .collect();
        let of = cases.len() as u32;
        let (done, given_up) = (AtomicU32::new(0), AtomicBool::new(false));
        let believed: Vec<Option<Believed>> = pool(threads)?.install(|| {
            cases
                .into_par_iter()
                .map(|(canal, index)| {
                    if given_up.load(Ordering::Relaxed) {
                        return None;
                    }
                    let one = Believed::of(search, &population, &grid, canal, index);
                    let now = done.fetch_add(1, Ordering::Relaxed) + 1;
                    if progress(SearchStage::Tables, now, of).is_break() {
                        given_up.store(true, Ordering::Relaxed);
                    }
                    one
                })
                .collect()
        });
        let done = done.into_inner();
        if given_up.into_inner() && done < of {
            return Err(StudyError::Cancelled { done, of });
        }
        // An ear whose parts would touch is none; there are few.
        let believed: Vec<Believed> = believed.into_iter().flatten().collect();
        if believed.is_empty() {
            let allowed = "a mixture with ears that can be built";
            return Err(StudyError::field("mixture", &"no such ear", &allowed));
        }
        Ok(SearchTables {
            grid,
            believed,
            headrest_deg: search.file.limits.headrest_deg,
            holds_s: search.file.holds_s.clone(),
        })
    }
}

impl Believed {
    fn of(
        search: &Search,
        population: &Population,
        grid: &Grid,
        canal: CanalId,
        index: u32,
    ) -> Option<Believed> {
        let draw = population.draw(index);
        let labyrinth = population.labyrinth(&draw).ok()?;
        let entry = draw.debris(canal, &labyrinth);
        let debris = LineDebris::new(
            entry.diameter_um,
            draw.density_g_cm3,
            draw.rolling_resistance,
            draw.rolling_gap,
        );
        let graph = LineGraph::of(labyrinth.ear(canal.ear), &debris);
        let limits = search.file.limits;
        let (errors_deg, set_up_deg) = operator(population, &draw);
        let headrest_deg = limits.headrest_deg + set_up_deg;
        let reid = |down: Vec3| reid_from_head(&labyrinth, down);
        let postures = grid.len();
        let mut after = vec![vec![0; graph.len() * postures]; search.file.holds_s.len()];
        for posture in 0..postures {
            let drain = graph.drain(&reid(grid.down_in_head(posture, headrest_deg)));
            for (table, hold_s) in after.iter_mut().zip(&search.file.holds_s) {
                for (cell, end) in drain.after_all(hold_s + MOVING_S).into_iter().enumerate() {
                    table[cell * postures + posture] = end;
                }
            }
        }
        let upright = graph.drain(&reid(grid.down_in_head(grid.posture([0, 0]), headrest_deg)));
        let own = canal.canal;
        let start = match entry.at {
            At::Arc { mm } => upright.after(graph.cell_at(own, mm), FIRST_S),
            at => {
                let end_mm = labyrinth.canal(canal).landmarks.duct_end_mm;
                let share = if at == At::AmpullaryArm { 0.25 } else { 0.75 };
                upright.after(graph.cell_at(own, share * end_mm), HAS_SAT_S)
            }
        };
        let whole_mm = graph.way_mm(graph.cell_at(own, 0.0));
        let worth = (0..graph.len()).map(|cell| {
            if graph.is_out(cell) {
                1.0
            } else {
                // In another duct the way back is longer than the own one.
                (PROGRESS * (1.0 - graph.way_mm(cell) / whole_mm)).max(-0.3) as f32
            }
        });
        Some(Believed {
            after,
            postures,
            sat: upright.after_all(SITS_AFTERWARDS_S),
            start: start as u16,
            worth: worth.collect(),
            errors: errors_deg
                .into_iter()
                .map(|axes| axes.map(|deg| grid.error(deg)))
                .collect(),
            graph,
        })
    }

    /// Where a piece is after a hold of any posture, `[posture]`.
    pub(super) fn after(&self, hold: usize, cell: u16) -> &[u16] {
        let from = usize::from(cell) * self.postures;
        &self.after[hold][from..from + self.postures]
    }

    /// Whether a piece is in the utricle once the patient has sat.
    pub(super) fn is_cleared(&self, cell: u16) -> bool {
        self.graph.is_out(usize::from(self.sat[usize::from(cell)]))
    }
}

/// Errors of yaw and track in each step, and of the set-up, degrees: those that the engine's runs have too.
fn operator(population: &Population, draw: &CaseDraw) -> (Vec<[f64; 2]>, f64) {
    let written = dummy();
    let done = population.mixture.operator.done(&written, draw.point);
    let (wanted, had) = (written.angles_deg(), done.angles_deg());
    let errors = had.iter().zip(&wanted).map(|(had, wanted)| {
        let error = |axis: usize| tidy(had[axis] - wanted[axis]);
        [error(0), error(1)]
    });
    let set_up_deg = done.chair.headrest_flexion_deg - written.chair.headrest_flexion_deg;
    (errors.take(MOST_STEPS).collect(), set_up_deg)
}

fn reid_from_head(labyrinth: &Labyrinth, down_in_head: Vec3) -> Vec3 {
    frame::head_from_reid(labyrinth.reid_pitch_nose_up_rad).inverse() * down_in_head
}
