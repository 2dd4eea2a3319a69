//! Edits of the steps and of where the chair is before the first.

use lithodrome_rehearsal::{Carrier, NamedPosture, Scenario, StartAngles, StepEntry};

/// Time of a new step's move and hold, s: common practice for a wait without nystagmus.
const NEW_STEP_S: [f64; 2] = [3.0, 30.0];

/// One change of the steps.
#[derive(Clone, Debug, PartialEq)]
pub enum StepsEdit {
    /// The chair at the start.
    Start(StartAngles),
    /// Another step in place of one.
    Set(usize, StepEntry),
    /// A new step after one: a wait where the chair is.
    Insert(usize),
    /// The same step again.
    Duplicate(usize),
    /// One step less; the last one stays.
    Delete(usize),
    /// A step earlier (−1) or later (1).
    Move(usize, isize),
    /// A step ends in this posture, by the shortest drive; nothing changes where no chair turns the patient.
    Posture(usize, NamedPosture),
}

impl StepsEdit {
    /// Changes the scenario; the step that should be chosen then.
    pub(super) fn on(&self, scenario: &mut Scenario, chosen: usize) -> usize {
        let steps = &mut scenario.steps;
        match self {
            StepsEdit::Start(start) => {
                scenario.chair = *start;
                chosen
            }
            StepsEdit::Set(i, step) => {
                if let Some(old) = steps.get_mut(*i) {
                    old.clone_from(step);
                }
                chosen
            }
            StepsEdit::Insert(after) => {
                let at = (after + 1).min(steps.len());
                steps.insert(at, wait());
                at
            }
            StepsEdit::Duplicate(i) => match steps.get(*i).cloned() {
                Some(step) => {
                    steps.insert(i + 1, step);
                    i + 1
                }
                None => chosen,
            },
            StepsEdit::Delete(i) => {
                if *i < steps.len() && steps.len() > 1 {
                    steps.remove(*i);
                }
                (*i).min(steps.len() - 1)
            }
            StepsEdit::Move(i, by) => move_step(scenario, *i, *by),
            StepsEdit::Posture(i, posture) => {
                let angles = posture.angles_deg(scenario, *i);
                if let (Some([yaw, track]), Some(step)) = (angles, scenario.steps.get_mut(*i)) {
                    step.down_in_head = None;
                    (step.yaw_deg, step.track_deg) = (Some(yaw), Some(track));
                }
                chosen
            }
        }
    }
}

fn wait() -> StepEntry {
    let [move_s, hold_s] = NEW_STEP_S;
    StepEntry {
        name: "Wait".to_owned(),
        move_s,
        hold_s,
        ..StepEntry::default()
    }
}

/// Where the step is afterwards. In a chair the steps keep the angles that they ended at, also where an
/// axis stayed.
fn move_step(scenario: &mut Scenario, i: usize, by: isize) -> usize {
    let Some(to) = i
        .checked_add_signed(by)
        .filter(|&to| to < scenario.steps.len())
    else {
        return i;
    };
    if scenario.body.is_some_and(Carrier::is_bed) {
        scenario.steps.swap(i, to);
        return to;
    }
    let angles = scenario.angles_deg();
    for k in [i, to, i.max(to) + 1] {
        if let Some(step) = scenario
            .steps
            .get_mut(k)
            .filter(|s| s.down_in_head.is_none())
        {
            step.yaw_deg = Some(angles[k][0]);
            step.track_deg = Some(angles[k][1]);
        }
    }
    scenario.steps.swap(i, to);
    to
}
