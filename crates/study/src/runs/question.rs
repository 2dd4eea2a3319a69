//! What many runs are made of, and the scenario of one of them.

use std::sync::Arc;

use lithodrome_labyrinth::{AnatomyError, CanalId, Labyrinth};
use lithodrome_rehearsal::Scenario;
use serde::{Deserialize, Serialize};

use super::Sequence;
use crate::population::{CaseDraw, Population};

/// What many runs are made of.
#[derive(Clone, Debug)]
pub struct Question {
    /// Cases.
    pub population: Population,
    /// The canal that has debris.
    pub canal: CanalId,
    /// What is tried, each in the same ears with the same errors.
    pub sequences: Vec<Sequence>,
    /// How far each run is followed.
    pub judging: Judging,
    /// Whether runs may go four at a time through the lanes of the processor.
    pub in_lanes: bool,
    /// In how many of the first ears the nearest miss of a wrong canal is looked for; it wants a recorded run.
    pub misses_of: u32,
}

/// How far a run is followed before it is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Judging {
    /// As in the window: after a minute of sitting, 15 min upright and the control test; slow.
    WithControl,
    /// By where debris is after the minute of sitting; what is in a short arm then is followed through
    /// 15 min upright and the control test, as it counts as behind the cupula only if it shows.
    #[default]
    ControlIfBehind,
    /// By where debris is after the minute of sitting alone; what is in a short arm counts as behind the
    /// cupula, whether or not it shows. Quick.
    AfterSitting,
}

/// The ears of a case, or why they cannot be built.
pub(crate) type Built = Result<Arc<Labyrinth>, AnatomyError>;

/// The scenario of one case: the sequence as it is done, with this debris.
pub fn scenario_of(
    question: &Question,
    sequence: &Sequence,
    draw: &CaseDraw,
    labyrinth: &Labyrinth,
) -> Scenario {
    let operator = &question.population.mixture.operator;
    let mut done = operator.done(&sequence.scenario, draw.point);
    let debris = match sequence.diameter_um {
        Some(diameter_um) => CaseDraw {
            diameter_um,
            ..draw.clone()
        }
        .debris(question.canal, labyrinth),
        None => draw.debris(question.canal, labyrinth),
    };
    done.debris = vec![debris];
    done.engine = None;
    done
}
