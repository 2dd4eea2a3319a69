//! Tests and manoeuvres in one ear, without a scenario around them.

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_chair::HeadMotion;
use lithodrome_debris::{
    DebrisGroup, Engine, FinalState, Model, ModelError, Physics, Place, Run, SimulateError, Start,
    final_states, simulate,
};
use lithodrome_labyrinth::{Canal, CanalId, Labyrinth};
use lithodrome_nystagmus::{Finding, Judging, Reflex, eyes_of, judge};
use lithodrome_rehearsal::{RehearsalError, Scenario, UprightDivides, compile_in, piece_end};

use super::ear_case::{EarCase, SIDE};
use crate::runs::RunEnd;

/// Why an ear has no result.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TrialError {
    /// The debris does not fit.
    #[error("{0}")]
    Model(#[from] ModelError),
    /// The run failed.
    #[error("{0}")]
    Run(#[from] SimulateError),
}

/// The motion of a scenario; debris and anatomy are not looked at.
pub fn motion_of(
    scenario: &Scenario,
    any: &Arc<Labyrinth>,
) -> Result<Arc<HeadMotion>, RehearsalError> {
    let mut bare = scenario.clone();
    bare.debris.clear();
    Ok(Arc::new(compile_in(&bare, Arc::clone(any))?.motion))
}

/// An ear that things are tried in.
#[derive(Clone, Copy, Debug)]
pub struct Trial<'a> {
    /// The ear.
    pub case: &'a EarCase,
    /// Which engine computes what is seen.
    pub engine: Engine,
}

impl Trial<'_> {
    /// Its debris in one canal.
    pub fn load(&self, canal: Canal, start: Start) -> DebrisGroup {
        DebrisGroup {
            count: self.case.count[canal.index()],
            ..self.clump(canal, start, self.case.diameter_mm)
        }
    }

    /// A single clump.
    pub fn clump(&self, canal: Canal, start: Start, diameter_mm: f64) -> DebrisGroup {
        DebrisGroup {
            ear: SIDE,
            canal,
            start,
            count: 1,
            diameter_mm,
            density_mg_mm3: self.case.density_mg_mm3,
            matter: self.case.matter,
        }
    }

    /// Somewhere between cupula and apex, as far as the case says, clear of the cupula.
    pub fn in_near_arm(&self, canal: Canal) -> Start {
        let shape = self.case.labyrinth.canal(CanalId { ear: SIDE, canal });
        let half_mm = shape.landmarks.duct_end_mm / 2.0;
        let face_mm = shape.cupula.thickness_mm / 2.0 + 0.6 * self.case.diameter_mm;
        Start::Arc {
            mm: face_mm + (half_mm - face_mm) * self.case.start_share,
        }
    }

    fn model(&self, group: DebrisGroup, motion: &HeadMotion) -> Result<Model, TrialError> {
        let start = motion.at(0.0);
        let labyrinth = Arc::clone(&self.case.labyrinth);
        Ok(Model::new(labyrinth, &[group], Physics::default(), &start)?)
    }

    /// What becomes of single clumps, `[run]`.
    pub fn fates(
        &self,
        runs: &[(DebrisGroup, &HeadMotion)],
    ) -> Result<Vec<FinalState>, TrialError> {
        let models = runs
            .iter()
            .map(|(group, motion)| self.model(*group, motion))
            .collect::<Result<Vec<_>, _>>()?;
        let jobs: Vec<(&Model, &HeadMotion)> = models
            .iter()
            .zip(runs)
            .map(|(m, (_, motion))| (m, *motion))
            .collect();
        let all = final_states(&jobs, &mut |_| ()).into_iter();
        let ends = all.collect::<Result<Vec<_>, _>>()?;
        Ok(ends
            .iter()
            .filter_map(|e| e.bodies.first().copied())
            .collect())
    }

    /// The word for where a clump of a canal's debris ended.
    pub fn end_at(&self, canal: Canal, place: Place) -> RunEnd {
        let divides = UprightDivides::of(&self.case.labyrinth);
        RunEnd::after_sitting(piece_end(
            &divides,
            CanalId { ear: SIDE, canal },
            place,
            false,
        ))
    }

    /// A run with all debris of a group.
    pub fn run(&self, group: DebrisGroup, motion: &HeadMotion) -> Result<Run, TrialError> {
        let model = self.model(group, motion)?;
        let go_on = &mut |_| ControlFlow::Continue(());
        Ok(simulate(&model, motion, self.engine, go_on)?)
    }

    /// What is seen in the hold of every step, `[step]`.
    pub fn seen(
        &self,
        group: DebrisGroup,
        motion: &HeadMotion,
    ) -> Result<Vec<Finding>, TrialError> {
        Ok(seen_in(&self.run(group, motion)?, motion))
    }
}

/// What is seen in the hold of every step of a run, `[step]`.
fn seen_in(run: &Run, motion: &HeadMotion) -> Vec<Finding> {
    let eyes = eyes_of(run, &Reflex::default());
    let judging = Judging::default();
    let holds = motion.times().iter().map(|times| {
        let down_in_head = motion.at(times.hold_from_s).down_in_head;
        judge(
            &eyes,
            times.hold_from_s,
            times.end_s,
            down_in_head,
            &judging,
        )
    });
    holds.collect()
}
