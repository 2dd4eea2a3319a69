//! What a run costs, told before it is computed.

use lithodrome_debris::Engine;

use crate::error::RehearsalError;
use crate::scenario::{MoveEntry, Scenario};

/// The most steps of single bodies that a run may take: some minutes.
const MOST: f64 = 1e7;
/// Steps of the rigid engine each second.
const RIGID_PER_S: f64 = 240.0;
/// Steps of the settling engine each second of a move, each second of a hold and each swing of a shaken or
/// vibrated step (estimated, not measured; holds sleep most of the time).
const PER_MOVE_S: f64 = 60.0;
const PER_HOLD_S: f64 = 2.0;
const PER_SWING: f64 = 40.0;
/// Steps of single bodies that one core does in a second, by engine (estimated, not measured).
const SETTLING_PER_CORE_S: f64 = 1e6;
const RIGID_PER_CORE_S: f64 = 1e5;

/// What a run costs, about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cost {
    /// Steps of single bodies.
    pub body_steps: f64,
    /// Time on one core, s.
    pub seconds: f64,
}

impl Cost {
    /// The cost of a scenario whose numbers are in their ranges.
    pub fn of(scenario: &Scenario, engine: Engine) -> Cost {
        let bodies = scenario.bodies().max(1) as f64;
        let steps = match engine {
            Engine::Rigid => RIGID_PER_S * scenario.duration_s(),
            Engine::Settling => settling_steps(scenario),
        };
        let body_steps = steps * bodies;
        let per_s = match engine {
            Engine::Rigid => RIGID_PER_CORE_S,
            Engine::Settling => SETTLING_PER_CORE_S,
        };
        Cost {
            body_steps,
            seconds: body_steps / per_s,
        }
    }

    /// Refuses what would take far longer than anybody waits for.
    pub(crate) fn check(self) -> Result<(), RehearsalError> {
        if self.body_steps <= MOST {
            return Ok(());
        }
        Err(RehearsalError::TooCostly {
            path: None,
            found: self.body_steps / 1e6,
            allowed: MOST / 1e6,
        })
    }

    /// "less than a second", "about 20 s", "about 3 min".
    pub fn words(self) -> String {
        match self.seconds {
            s if s < 1.0 => "less than a second".to_owned(),
            s if s < 90.0 => format!("about {s:.0} s"),
            s => format!("about {:.0} min", s / 60.0),
        }
    }
}

fn settling_steps(scenario: &Scenario) -> f64 {
    let times_s = scenario.move_times_s();
    let steps = scenario.steps.iter().zip(times_s);
    steps
        .map(|(step, move_s)| {
            let swings = match step.movement {
                Some(
                    MoveEntry::Shaking { frequency_hz, .. }
                    | MoveEntry::Vibration { frequency_hz, .. },
                ) => frequency_hz * move_s,
                _ => 0.0,
            };
            PER_MOVE_S * move_s + PER_SWING * swings + PER_HOLD_S * step.hold_s
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::scenario::scenario_from_ron;

    fn scenario(step: &str) -> Scenario {
        let text = format!(
            "(format: 1, title: \"T\", debris: [(ear: Right, canal: Posterior, at: AmpullaryArm, \
             count: 8, diameter_um: 50.0)], steps: [(name: \"A\", {step})])"
        );
        scenario_from_ron(&text, Path::new("t.ron")).unwrap()
    }

    /// By hand: 8 bodies, 3 s of move and 30 s of hold are 8 · (60 · 3 + 2 · 30) = 1920 steps by the settling
    /// engine and 8 · 240 · 33 = 63,360 by the rigid one.
    #[test]
    fn cost_is_counted_in_steps_of_single_bodies() {
        let usual = scenario("track_deg: 120.0, move_s: 3.0, hold_s: 30.0");
        let settling = Cost::of(&usual, Engine::Settling);
        assert!((settling.body_steps - 1920.0).abs() < 1e-9);
        assert!((Cost::of(&usual, Engine::Rigid).body_steps - 63_360.0).abs() < 1e-9);
        assert_eq!(settling.words(), "less than a second");
    }

    #[test]
    fn hours_of_the_rigid_engine_and_swings_without_end_are_refused() {
        let hours = scenario("move_s: 0.0, hold_s: 43200.0");
        Cost::of(&hours, Engine::Settling).check().unwrap();
        let message = Cost::of(&hours, Engine::Rigid)
            .check()
            .unwrap_err()
            .to_string();
        assert!(message.contains("shorten the holds"), "{message}");
        let vibrated = scenario(
            "move: Vibration(at: Crown, amplitude_mm: 0.1, frequency_hz: 100.0), move_s: 600.0, hold_s: 0.0",
        );
        let refused = Cost::of(&vibrated, Engine::Settling).check();
        assert!(refused.is_err());
    }
}
