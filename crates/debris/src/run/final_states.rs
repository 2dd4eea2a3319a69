//! Many runs of which only the end is wanted.

use std::ops::ControlFlow;

use lithodrome_chair::HeadMotion;
use lithodrome_labyrinth::Vec3;

use super::columns::{Engine, Run};
use super::simulate::simulate;
use super::start::initial_state;
use crate::error::SimulateError;
use crate::lanes::job::Job;
use crate::lanes::march::march;
use crate::model::Model;
use crate::place::{FinalState, Work};

/// How a run ended.
#[derive(Clone, Debug, PartialEq)]
pub struct FinalStates {
    /// The bodies, as in the model.
    pub bodies: Vec<FinalState>,
    /// Work done.
    pub work: Work,
}

/// Computes many runs with the settling engine on this thread, without their columns; `[run]` as given.
/// `done` hears of each as it ends.
///
/// Runs of one plain body (nothing that sticks, jams, lets go or falls apart, no heavy cupula) go four
/// at a time through the lanes of the processor and end within 0.05 µm of where [`simulate`] ends; the
/// others are left to it. One that fails changes no other.
pub fn final_states(
    runs: &[(&Model, &HeadMotion)],
    done: &mut dyn FnMut(usize),
) -> Vec<Result<FinalStates, SimulateError>> {
    let mut all: Vec<Option<Result<FinalStates, SimulateError>>> = Vec::new();
    all.resize_with(runs.len(), || None);
    let jobs = runs.iter().enumerate().filter(|(_, run)| has_lane(run));
    let jobs = jobs.map(|(index, &(model, motion))| Job {
        index,
        model,
        motion,
        start: initial_state(model).bodies[0],
    });
    march(jobs, &mut |index, body, work| {
        // What has no place any more is left to `simulate`, which says when it lost it.
        if body.position_in_reid_mm.sum().is_finite() {
            all[index] = Some(Ok(FinalStates {
                bodies: vec![body],
                work,
            }));
            done(index);
        }
    });
    for (index, (model, motion)) in runs.iter().enumerate() {
        if all[index].is_none() {
            let go_on = &mut |_| ControlFlow::Continue(());
            let run = simulate(model, motion, Engine::Settling, go_on);
            all[index] = Some(run.map(|run| final_states_of(&run)));
            done(index);
        }
    }
    all.into_iter().flatten().collect()
}

/// Whether a run can go through a lane.
fn has_lane((model, motion): &(&Model, &HeadMotion)) -> bool {
    model.plain
        && model.bodies.len() == 1
        && !model.physics.has_cupula_weight()
        && motion.duration_s() > 0.0
}

fn final_states_of(run: &Run) -> FinalStates {
    let bodies = run.tracks.iter().filter_map(|track| {
        let [x, y, z] = track.position_in_reid_mm.last()?.map(f64::from);
        Some(FinalState {
            place: *track.place.last()?,
            position_in_reid_mm: Vec3::new(x, y, z),
            exit_s: track.exit_s,
        })
    });
    FinalStates {
        bodies: bodies.collect(),
        work: run.work,
    }
}
