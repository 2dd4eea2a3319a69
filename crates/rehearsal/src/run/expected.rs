//! What a test would show for debris at a place: never looked up, always a run.

use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_labyrinth::{CanalId, Labyrinth};

use super::observe::observe;
use crate::compile::compile_in;
use crate::error::RehearsalError;
use crate::report::StepReport;
use crate::scenario::{DebrisEntry, Mechanism, Scenario};

/// Debris of one kind in one canal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Case {
    /// Side and canal.
    pub canal: CanalId,
    /// Where in it.
    pub mechanism: Mechanism,
    /// How much.
    pub load: Load,
}

/// How much debris.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Bodies.
    pub count: u32,
    /// Diameter of each, µm.
    pub diameter_um: f64,
    /// Pull at which a body on a cupula lets go, in multiples of its weight; `None` never does.
    pub attachment_g: Option<f64>,
}

impl Default for Load {
    /// Eight clumps of 50 µm, the debris of the shipped scenarios. Clumps of 50 µm are those of Obrist
    /// 2016, Front Neurol 7:150; how many is assumed, within the 4 to 9 that give clinical strengths.
    /// On a cupula they stay, as no measured hold is known.
    fn default() -> Load {
        Load {
            count: 8,
            diameter_um: 50.0,
            attachment_g: None,
        }
    }
}

impl Case {
    /// A case with the usual load.
    pub fn new(canal: CanalId, mechanism: Mechanism) -> Case {
        Case {
            canal,
            mechanism,
            load: Load::default(),
        }
    }

    /// The manoeuvre or test with this case's debris instead of its own.
    pub fn posed_in(&self, scenario: &Scenario) -> Scenario {
        let mut posed = scenario.clone();
        let CanalId { ear, canal } = self.canal;
        let Load {
            count,
            diameter_um,
            attachment_g,
        } = self.load;
        let at = self.mechanism.at();
        posed.debris = vec![DebrisEntry {
            attachment_g,
            ..DebrisEntry::new(ear, canal, at, count, diameter_um)
        }];
        posed
    }
}

/// What a test shows in an ear with this case, step by step: the debris is posed, the test is run.
pub fn expected(
    labyrinth: &Arc<Labyrinth>,
    case: &Case,
    test: &Scenario,
) -> Result<Vec<StepReport>, RehearsalError> {
    let compiled = compile_in(&case.posed_in(test), Arc::clone(labyrinth))?;
    Ok(observe(&compiled, &mut |_| ControlFlow::Continue(()))?.steps)
}
