//! What a patient and a chair allow in a search, and whether a posture or a scenario keeps to it.

use std::sync::Arc;

use lithodrome_chair::{ChairAngles, down_in_head};
use lithodrome_labyrinth::Labyrinth;
use lithodrome_rehearsal::{Limits, Scenario, all_breaches, compile_in};
use serde::{Deserialize, Serialize};

use crate::StudyError;

/// Slack of a comparison of angles, as a sine: half a minute of arc is above the rounding of angles.
const SLACK: f64 = 1.5e-4;
/// Poses of a drive that are looked at.
const ON_THE_WAY: u32 = 12;

/// What a patient and a chair allow. What is left out is the usual.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct SearchLimits {
    /// Largest angle of the crown below the horizontal, degrees; −60 keeps it 60° above.
    pub head_down_deg: f64,
    /// Whether the crown may be below the horizontal at all.
    pub inversion: bool,
    /// Longest time in one go with the crown below the horizontal, s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub inverted_s: Option<f64>,
    /// Most holds, sitting at the beginning and the end not counted.
    pub most_holds: u32,
    /// Mean speed of a move about the yaw axis, deg/s.
    pub yaw_deg_s: f64,
    /// The same about the track's.
    pub track_deg_s: f64,
    /// Flexion of the headrest, degrees; it stays.
    pub headrest_deg: f64,
}

impl Default for SearchLimits {
    /// 30° of head-hang as is usual, four holds, 40°/s by hand (assumed).
    fn default() -> SearchLimits {
        SearchLimits {
            head_down_deg: 30.0,
            inversion: true,
            inverted_s: None,
            most_holds: 4,
            yaw_deg_s: 40.0,
            track_deg_s: 40.0,
            headrest_deg: 0.0,
        }
    }
}

impl SearchLimits {
    /// The lowest that the crown may be, degrees below the horizontal.
    pub fn lowest_deg(&self) -> f64 {
        if self.inversion {
            self.head_down_deg
        } else {
            self.head_down_deg.min(0.0)
        }
    }

    /// In words: "crown at most 15° below the horizontal".
    pub fn words(&self) -> String {
        let lowest = self.lowest_deg();
        let crown = if lowest > 0.0 {
            format!("crown at most {lowest:.0}° below the horizontal")
        } else if lowest < 0.0 {
            format!("crown never less than {:.0}° above the horizontal", -lowest)
        } else {
            "crown never below the horizontal".to_owned()
        };
        let holds = if self.most_holds == 1 {
            "1 hold".to_owned()
        } else {
            format!("{} holds", self.most_holds)
        };
        let inverted = self.inverted_s.filter(|_| lowest > 0.0);
        let inverted = inverted.map_or_else(String::new, |s| format!(" for at most {s:.0} s"));
        format!("{crown}{inverted}, at most {holds}")
    }

    /// The same limits as a scenario writes them.
    pub(super) fn of_scenario(&self) -> Limits {
        Limits {
            head_down_deg: Some(self.lowest_deg().max(0.0)),
            inverted_s: self.inverted_s,
            ..Limits::default()
        }
    }

    /// Whether a pose keeps to them.
    pub(super) fn allows(&self, angles: ChairAngles) -> bool {
        down_in_head(angles).z <= self.lowest_deg().to_radians().sin() + SLACK
    }

    /// Whether all of a drive does, both axes at the same share of their way, degrees.
    pub(super) fn allows_drive(&self, from_deg: [f64; 2], to_deg: [f64; 2]) -> bool {
        (0..=ON_THE_WAY).all(|i| {
            let share = f64::from(i) / f64::from(ON_THE_WAY);
            let at = |axis: usize| from_deg[axis] + share * (to_deg[axis] - from_deg[axis]);
            self.allows(self.angles(at(0), at(1)))
        })
    }

    /// Whether the crown is below the horizontal.
    pub(super) fn is_inverted(&self, angles_deg: [f64; 2]) -> bool {
        down_in_head(self.angles(angles_deg[0], angles_deg[1])).z > SLACK
    }

    /// A pose with the headrest as it stays.
    pub(super) fn angles(&self, yaw_deg: f64, track_deg: f64) -> ChairAngles {
        ChairAngles {
            yaw_rad: yaw_deg.to_radians(),
            track_rad: track_deg.to_radians(),
            headrest_flexion_rad: self.headrest_deg.to_radians(),
        }
    }

    /// Time of a move about both axes at once, s, in tenths.
    pub(super) fn move_s(&self, from_deg: [f64; 2], to_deg: [f64; 2]) -> f64 {
        let yaw_s = (to_deg[0] - from_deg[0]).abs() / self.yaw_deg_s;
        let track_s = (to_deg[1] - from_deg[1]).abs() / self.track_deg_s;
        (10.0 * yaw_s.max(track_s)).ceil() / 10.0
    }

    /// Whether a scenario keeps to its limits at every moment.
    pub(super) fn are_kept(
        scenario: &Scenario,
        labyrinth: &Arc<Labyrinth>,
    ) -> Result<bool, StudyError> {
        let mut empty = scenario.clone();
        empty.debris.clear();
        let compiled = compile_in(&empty, Arc::clone(labyrinth))?;
        Ok(all_breaches(&empty, &compiled.motion).is_empty())
    }

    /// Every value within its range.
    pub(super) fn check(&self) -> Result<(), StudyError> {
        let numbers = [
            ("head_down_deg", self.head_down_deg, -89.0, 90.0),
            ("inverted_s", self.inverted_s.unwrap_or(0.0), 0.0, 3600.0),
            ("most_holds", f64::from(self.most_holds), 1.0, 8.0),
            ("yaw_deg_s", self.yaw_deg_s, 1.0, 120.0),
            ("track_deg_s", self.track_deg_s, 1.0, 120.0),
            ("headrest_deg", self.headrest_deg, -45.0, 45.0),
        ];
        for (name, found, least, most) in numbers {
            if !(least..=most).contains(&found) {
                return Err(StudyError::field(
                    &format!("limits.{name}"),
                    &found,
                    &format!("{least} to {most}"),
                ));
            }
        }
        Ok(())
    }
}
