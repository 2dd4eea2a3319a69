//! One thing that a resident does: bring the chair somewhere, stay there, and look or not.

use lithodrome_nystagmus::{Cover, Watching};
use serde::{Deserialize, Serialize};

use crate::scenario::{Carrier, RecordedEntry, Scenario, StepEntry};

/// What an act is done for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Part {
    /// To find out.
    Test,
    /// To bring debris out.
    Treatment,
    /// To see whether it is out.
    Control,
}

impl Part {
    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            Part::Test => "test",
            Part::Treatment => "treatment",
            Part::Control => "control test",
        }
    }
}

/// How the eyes were watched during a hold.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Look {
    /// The patient has something to fixate: no goggles.
    pub fixation: bool,
    /// From the start of the hold until the resident looked, s.
    pub from_s: f64,
    /// From the start of the hold until the resident looked away, s; `None` looks to the end of it.
    pub to_s: Option<f64>,
}

impl Default for Look {
    /// Infrared goggles from the start of the hold to its end.
    fn default() -> Look {
        Look {
            fixation: false,
            from_s: 0.0,
            to_s: None,
        }
    }
}

impl Look {
    /// Not looking at all.
    pub const AWAY: Look = Look {
        fixation: false,
        from_s: 0.0,
        to_s: Some(0.0),
    };

    /// For the eyes.
    pub fn watching(self) -> Watching {
        Watching {
            cover: if self.fixation {
                Cover::OpenLight
            } else {
                Cover::InfraredVideo
            },
            ..Watching::default()
        }
    }

    /// Nobody looked at any of a hold of this length.
    pub fn is_away(self, hold_s: f64) -> bool {
        self.to_s.unwrap_or(hold_s).min(hold_s) <= self.from_s
    }
}

/// A move of the chair, a hold, and how the eyes were watched in it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Act {
    /// Test, treatment or control.
    pub part: Part,
    /// Move and hold.
    pub step: StepEntry,
    /// How the eyes were watched.
    pub look: Look,
    /// The motion as it was driven by hand, times from the start of the act; empty if the step says it all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub driven: Vec<RecordedEntry>,
}

impl Act {
    /// A test that moves to these chair angles, degrees, and holds.
    pub fn to(name: &str, yaw_deg: f64, track_deg: f64, move_s: f64, hold_s: f64) -> Act {
        Act {
            part: Part::Test,
            step: StepEntry {
                name: name.to_owned(),
                yaw_deg: Some(yaw_deg),
                track_deg: Some(track_deg),
                move_s,
                hold_s,
                ..StepEntry::default()
            },
            look: Look::default(),
            driven: Vec::new(),
        }
    }

    /// Staying where the chair is.
    pub fn wait(name: &str, hold_s: f64) -> Act {
        Act {
            part: Part::Test,
            step: StepEntry {
                name: name.to_owned(),
                hold_s,
                ..StepEntry::default()
            },
            look: Look::default(),
            driven: Vec::new(),
        }
    }

    /// The same, done for something else.
    #[must_use]
    pub fn as_part(self, part: Part) -> Act {
        Act { part, ..self }
    }
}

/// Turning the upright chair to where a sequence begins, deg/s (assumed: a slow turn by hand).
const TURN_DEG_S: f64 = 30.0;

/// The acts of a library sequence in the chair after `done`: first upright and turned to where the
/// sequence begins, by the shortest way, then its steps. `None` for a sequence that is not of the chair.
pub fn acts_of(sequence: &Scenario, part: Part, done: &[Act]) -> Option<Vec<Act>> {
    if !matches!(sequence.body, None | Some(Carrier::Chair)) {
        return None;
    }
    let [yaw_deg, track_deg] = angles_after(done);
    let upright_deg = (track_deg / 360.0).round() * 360.0;
    let mut acts = Vec::with_capacity(sequence.steps.len() + 2);
    if (track_deg - upright_deg).abs() > 0.0 {
        let mut up = Act::wait("Sit up first", 5.0);
        up.step.track_deg = Some(upright_deg);
        up.step.move_s = 3.0;
        acts.push(up);
    }
    // A turn by 360° changes nothing: the turns to come are counted from the nearest one.
    let start = sequence.chair;
    let whole_turns = |now: f64, to: f64| ((now - to) / 360.0).round() * 360.0;
    let yaw_more_deg = whole_turns(yaw_deg, start.yaw_deg);
    let track_more_deg = upright_deg;
    let begin_deg = start.yaw_deg + yaw_more_deg;
    let turn_deg = (begin_deg - yaw_deg).abs();
    if turn_deg > 0.0 {
        let mut turn = Act::wait("Turn to where it begins", 2.0);
        turn.step.yaw_deg = Some(begin_deg);
        turn.step.move_s = (turn_deg / TURN_DEG_S).max(1.0);
        acts.push(turn);
    }
    for step in &sequence.steps {
        let mut step = step.clone();
        step.yaw_deg = step.yaw_deg.map(|deg| deg + yaw_more_deg);
        step.track_deg = step.track_deg.map(|deg| deg + track_more_deg);
        acts.push(Act {
            part,
            step,
            look: Look::default(),
            driven: Vec::new(),
        });
    }
    Some(acts.into_iter().map(|act| act.as_part(part)).collect())
}

/// Yaw and track where the chair stands after these acts, degrees; a session begins at 0, 0.
pub fn angles_after(acts: &[Act]) -> [f64; 2] {
    acts.iter().fold([0.0, 0.0], |[yaw, track], act| {
        [
            act.step.yaw_deg.unwrap_or(yaw),
            act.step.track_deg.unwrap_or(track),
        ]
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library_entry;

    #[test]
    fn a_sequence_begins_where_the_chair_stands() {
        // After a whole turn backward the upright chair stands at track 360, yaw 405 is 45.
        let done = [Act::to("Turned", 405.0, 360.0, 30.0, 5.0)];
        let test = library_entry("right-dix-hallpike").unwrap().unwrap();
        let acts = acts_of(&test.scenario, Part::Control, &done).unwrap();
        assert_eq!(acts[0].step.name, "Upright, turned 45°");
        assert_eq!(acts[1].step.track_deg, Some(480.0));
        assert!(acts.iter().all(|act| act.part == Part::Control));
        let lying = [Act::to("Lying", 0.0, 90.0, 2.0, 5.0)];
        let acts = acts_of(&test.scenario, Part::Test, &lying).unwrap();
        assert_eq!(acts[0].step.track_deg, Some(0.0));
        assert_eq!(acts[1].step.yaw_deg, Some(45.0));
        let bed = Scenario {
            body: Some(Carrier::Bedside {
                neck: crate::NeckLimits::default(),
            }),
            ..test.scenario
        };
        assert!(acts_of(&bed, Part::Treatment, &[]).is_none());
    }
}
