//! What a sweep varies, and a sequence with it set to a value.

use lithodrome_rehearsal::{Carrier, Scenario, StepEntry};
use serde::{Deserialize, Serialize};

use crate::StudyError;

/// One thing that a sweep varies; steps are counted from 1.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Vary {
    /// Hold of these steps, s.
    HoldS {
        /// Which steps.
        steps: Vec<usize>,
    },
    /// Angle of the crown below the horizontal at these steps, degrees; above it if negative. Of a chair.
    BelowHorizontalDeg {
        /// Which steps.
        steps: Vec<usize>,
    },
    /// Yaw at these steps, degrees. Of a chair.
    YawDeg {
        /// Which steps.
        steps: Vec<usize>,
    },
    /// Track at these steps, degrees. Of a chair.
    TrackDeg {
        /// Which steps.
        steps: Vec<usize>,
    },
    /// Mean speed of the moves of these steps, deg/s. Of a chair.
    SpeedDegS {
        /// Which steps.
        steps: Vec<usize>,
    },
    /// The moves of these steps are cut into stops that are at most so far apart, degrees, each held as
    /// long as the step is. Of a chair.
    StopEveryDeg {
        /// Which steps.
        steps: Vec<usize>,
    },
    /// Diameter of the debris, µm, instead of the mixture's.
    DiameterUm,
}

impl Vary {
    /// What it is, with its unit.
    pub fn label(&self) -> &'static str {
        match self {
            Vary::HoldS { .. } => "hold_s",
            Vary::BelowHorizontalDeg { .. } => "below_horizontal_deg",
            Vary::YawDeg { .. } => "yaw_deg",
            Vary::TrackDeg { .. } => "track_deg",
            Vary::SpeedDegS { .. } => "speed_deg_s",
            Vary::StopEveryDeg { .. } => "stop_every_deg",
            Vary::DiameterUm => "diameter_um",
        }
    }

    fn steps(&self) -> &[usize] {
        match self {
            Vary::HoldS { steps }
            | Vary::BelowHorizontalDeg { steps }
            | Vary::YawDeg { steps }
            | Vary::TrackDeg { steps }
            | Vary::SpeedDegS { steps }
            | Vary::StopEveryDeg { steps } => steps,
            Vary::DiameterUm => &[],
        }
    }

    /// When it is set, in whatever order the axes are told: a speed wants the turns that angles leave, and what
    /// changes the number of steps comes last.
    pub(crate) fn turn_to_be_set(&self) -> u8 {
        match self {
            Vary::HoldS { .. }
            | Vary::BelowHorizontalDeg { .. }
            | Vary::YawDeg { .. }
            | Vary::TrackDeg { .. }
            | Vary::DiameterUm => 0,
            Vary::SpeedDegS { .. } => 1,
            Vary::StopEveryDeg { .. } => 2,
        }
    }

    /// Whether this can be varied in a sequence.
    pub(crate) fn check(&self, scenario: &Scenario, values: &[f64]) -> Result<(), StudyError> {
        let field = |name: &str| format!("sweep.{}.{name}", self.label());
        let n = scenario.steps.len();
        if !matches!(self, Vary::DiameterUm) && self.steps().is_empty() {
            return Err(StudyError::field(&field("steps"), &"none", &"1 or more"));
        }
        if let Some(step) = self.steps().iter().find(|step| !(1..=n).contains(*step)) {
            return Err(StudyError::field(
                &field("steps"),
                step,
                &format!("1 to {n}"),
            ));
        }
        let of_chair = matches!(
            self,
            Vary::BelowHorizontalDeg { .. }
                | Vary::YawDeg { .. }
                | Vary::TrackDeg { .. }
                | Vary::SpeedDegS { .. }
                | Vary::StopEveryDeg { .. }
        );
        if of_chair && !matches!(scenario.body.unwrap_or_default(), Carrier::Chair) {
            let found = "a sequence at the bedside";
            return Err(StudyError::field(
                &field("steps"),
                &found,
                &"a sequence of a chair",
            ));
        }
        let (least, most) = match self {
            Vary::HoldS { .. } => (0.0, 86_400.0),
            Vary::BelowHorizontalDeg { .. } => (-90.0, 90.0),
            Vary::YawDeg { .. } | Vary::TrackDeg { .. } => (-36_000.0, 36_000.0),
            Vary::SpeedDegS { .. } => (0.1, 2_000.0),
            Vary::StopEveryDeg { .. } => (1.0, 360.0),
            Vary::DiameterUm => (0.1, 1_000.0),
        };
        match values.iter().find(|v| !(least..=most).contains(*v)) {
            Some(value) => Err(StudyError::field(
                &field("values"),
                value,
                &format!("{least} to {most}"),
            )),
            None => Ok(()),
        }
    }

    /// The sequence with this set to a value. A diameter changes no sequence.
    pub(crate) fn set(&self, scenario: &mut Scenario, value: f64) {
        let angles = scenario.angles_deg();
        let mut set = |change: &dyn Fn(usize, &mut StepEntry)| {
            for step in self.steps() {
                if let Some(entry) = scenario.steps.get_mut(step - 1) {
                    change(step - 1, entry);
                }
            }
        };
        match self {
            Vary::HoldS { .. } => set(&|_, entry| entry.hold_s = value),
            Vary::BelowHorizontalDeg { .. } => set(&|i, entry| {
                let side = if angles[i][1] < 0.0 { -1.0 } else { 1.0 };
                turn_to(entry, angles[i][0], side * (90.0 + value));
            }),
            Vary::YawDeg { .. } => set(&|i, entry| turn_to(entry, value, angles[i][1])),
            Vary::TrackDeg { .. } => set(&|i, entry| turn_to(entry, angles[i][0], value)),
            Vary::SpeedDegS { .. } => {
                let turns = turns_deg(scenario, &angles);
                let mut set = |i: usize| scenario.steps[i].move_s = turns[i] / value;
                self.steps().iter().for_each(|step| set(step - 1));
            }
            Vary::StopEveryDeg { steps } => {
                scenario.steps = with_stops(scenario, &angles, steps, value);
            }
            Vary::DiameterUm => {}
        }
    }
}

fn turn_to(entry: &mut StepEntry, yaw_deg: f64, track_deg: f64) {
    entry.down_in_head = None;
    entry.yaw_deg = Some(yaw_deg);
    entry.track_deg = Some(track_deg);
}

/// Larger turn of the two axes in each step, degrees.
fn turns_deg(scenario: &Scenario, angles: &[[f64; 2]]) -> Vec<f64> {
    let mut before = [scenario.chair.yaw_deg, scenario.chair.track_deg];
    angles
        .iter()
        .map(|at| {
            let turn = (at[0] - before[0]).abs().max((at[1] - before[1]).abs());
            before = *at;
            turn
        })
        .collect()
}

fn with_stops(
    scenario: &Scenario,
    angles: &[[f64; 2]],
    steps: &[usize],
    at_most_deg: f64,
) -> Vec<StepEntry> {
    let turns = turns_deg(scenario, angles);
    let mut before = [scenario.chair.yaw_deg, scenario.chair.track_deg];
    let mut all = Vec::new();
    for (i, entry) in scenario.steps.iter().enumerate() {
        let stops = if steps.contains(&(i + 1)) {
            (turns[i] / at_most_deg - 1e-9).ceil().max(1.0) as usize
        } else {
            1
        };
        for stop in 1..=stops {
            let share = stop as f64 / stops as f64;
            let mut part = entry.clone();
            if stops > 1 {
                let at = [0, 1].map(|k| before[k] + share * (angles[i][k] - before[k]));
                turn_to(&mut part, at[0], at[1]);
                part.move_s = entry.move_s / stops as f64;
                part.name = format!("{}, stop {stop} of {stops}", entry.name);
            }
            all.push(part);
        }
        before = angles[i];
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::runs::Sequence;
    use lithodrome_rehearsal::NeckLimits;
    use std::path::Path;

    fn epley() -> Scenario {
        Sequence::named("right-posterior-epley-whole-body", Path::new(""))
            .unwrap()
            .scenario
    }

    #[test]
    fn a_value_is_set_at_the_steps_asked_for() {
        let mut set = epley();
        Vary::HoldS { steps: vec![2, 3] }.set(&mut set, 12.0);
        assert!((set.steps[1].hold_s - 12.0).abs() < 1e-12);
        assert!((set.steps[3].hold_s - 30.0).abs() < 1e-12);
        Vary::BelowHorizontalDeg { steps: vec![2] }.set(&mut set, 15.0);
        let angles = set.angles_deg();
        assert!((angles[1][1] - 105.0).abs() < 1e-12 && (angles[1][0] - 45.0).abs() < 1e-12);
        // 105° at 35 deg/s.
        Vary::SpeedDegS { steps: vec![2] }.set(&mut set, 35.0);
        assert!((set.steps[1].move_s - 3.0).abs() < 1e-12);
    }

    #[test]
    fn stops_add_up_to_the_whole_turn() {
        let mut set = epley();
        Vary::StopEveryDeg { steps: vec![3] }.set(&mut set, 40.0);
        // 90° in stops of at most 40: three of 30.
        assert_eq!(set.steps.len(), epley().steps.len() + 2);
        let yaws: Vec<f64> = set.angles_deg().iter().map(|a| a[0]).collect();
        assert_eq!(yaws[1..5], [45.0, 75.0, 105.0, 135.0]);
        assert!((set.duration_s() - epley().duration_s() - 60.0).abs() < 1e-9);
    }

    #[test]
    fn what_cannot_be_varied_is_told() {
        let message =
            |vary: Vary, values: &[f64]| vary.check(&epley(), values).unwrap_err().to_string();
        assert!(
            message(Vary::HoldS { steps: vec![9] }, &[1.0]).contains("found 9, allowed is 1 to 5")
        );
        assert!(message(Vary::HoldS { steps: vec![] }, &[1.0]).contains("found none"));
        assert!(message(Vary::DiameterUm, &[0.0]).contains("diameter_um.values: found 0"));
        let bedside = Sequence {
            scenario: Scenario {
                body: Some(Carrier::Bedside {
                    neck: NeckLimits::default(),
                }),
                ..epley()
            },
            ..Sequence::named("right-posterior-epley-whole-body", Path::new("")).unwrap()
        };
        let speed = Vary::SpeedDegS { steps: vec![2] };
        let refused = speed.check(&bedside.scenario, &[30.0]).unwrap_err();
        assert!(
            refused
                .to_string()
                .contains("found a sequence at the bedside")
        );
    }
}
