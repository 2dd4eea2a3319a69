//! A sequence of postures with their times, and the scenario that it is.

use lithodrome_labyrinth::Vec3;
use lithodrome_rehearsal::{
    About, At, DebrisEntry, FORMAT, Mechanism, Purpose, Scenario, StartAngles, StepEntry, Target,
};

use super::file::Search;
use super::limits::SearchLimits;
use super::posture_words::posture_words;
use crate::members::{PlausibleSet, Unknown};
use crate::population::StartPlace;
use crate::runs::Sequence;

/// Steps of a scenario: sitting, at most eight holds, sitting again.
pub(super) const MOST_STEPS: usize = 10;
/// As long as a patient sits upright before the first hold and after the last, s.
pub(super) const FIRST_S: f64 = 5.0;
const LAST_S: f64 = 10.0;

/// One hold of a sequence.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct PlannedHold {
    pub(super) yaw_deg: f64,
    pub(super) track_deg: f64,
    pub(super) hold_s: f64,
}

/// A sequence: upright, its holds, upright.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Plan {
    pub(super) holds: Vec<PlannedHold>,
}

impl Plan {
    /// The same without one of its holds; nothing if it has no other.
    pub(super) fn without(&self, hold: usize) -> Plan {
        let mut holds = self.holds.clone();
        holds.remove(hold);
        Plan { holds }
    }

    /// The same with another time of one hold.
    pub(super) fn with_hold_s(&self, hold: usize, hold_s: f64) -> Plan {
        let mut holds = self.holds.clone();
        holds[hold].hold_s = hold_s;
        Plan { holds }
    }

    /// Times of the moves to each hold, s, then of that to the upright.
    pub(super) fn moves_s(&self, limits: &SearchLimits) -> Vec<f64> {
        let mut from = [self.first_yaw_deg(), 0.0];
        let mut moves_s = Vec::with_capacity(self.holds.len() + 1);
        for hold in &self.holds {
            let to = [hold.yaw_deg, hold.track_deg];
            moves_s.push(limits.move_s(from, to));
            from = to;
        }
        moves_s.push(limits.move_s(from, [from[0], upright_deg(from[1])]));
        moves_s
    }

    /// All turning of both axes, degrees.
    pub(super) fn turning_deg(&self) -> f64 {
        let mut from = [self.first_yaw_deg(), 0.0];
        let mut turning_deg = 0.0;
        for hold in &self.holds {
            turning_deg += (hold.yaw_deg - from[0]).abs() + (hold.track_deg - from[1]).abs();
            from = [hold.yaw_deg, hold.track_deg];
        }
        turning_deg + (from[1] - upright_deg(from[1])).abs()
    }

    /// The sequence to run, by a name.
    pub(super) fn sequence(&self, search: &Search, name: &str) -> Sequence {
        Sequence {
            name: name.to_owned(),
            scenario: self.scenario(search, name),
            diameter_um: None,
        }
    }

    /// The scenario, with a typical case of the search.
    pub(super) fn scenario(&self, search: &Search, title: &str) -> Scenario {
        let limits = &search.file.limits;
        let mut steps = vec![StepEntry {
            name: "Upright, turned to the first position".to_owned(),
            hold_s: FIRST_S,
            ..StepEntry::default()
        }];
        let moves_s = self.moves_s(limits);
        for (hold, move_s) in self.holds.iter().zip(&moves_s) {
            let down = lithodrome_chair::down_in_head(limits.angles(hold.yaw_deg, hold.track_deg));
            steps.push(StepEntry {
                name: posture_words(down),
                yaw_deg: Some(hold.yaw_deg),
                track_deg: Some(hold.track_deg),
                move_s: *move_s,
                hold_s: hold.hold_s,
                ..StepEntry::default()
            });
        }
        let last_deg = self.holds.last().map_or(0.0, |hold| hold.track_deg);
        steps.push(StepEntry {
            name: "Upright".to_owned(),
            track_deg: Some(upright_deg(last_deg)),
            move_s: moves_s.last().copied().unwrap_or(0.0),
            hold_s: LAST_S,
            ..StepEntry::default()
        });
        Scenario {
            anatomy: search.mixture.ears.anatomy.clone(),
            debris: typical_debris(search),
            about: Some(about(search)),
            chair: StartAngles {
                yaw_deg: self.first_yaw_deg(),
                track_deg: 0.0,
                headrest_flexion_deg: limits.headrest_deg,
            },
            limits: Some(limits.of_scenario()),
            ..bare(title, steps)
        }
    }

    fn first_yaw_deg(&self) -> f64 {
        self.holds.first().map_or(0.0, |hold| hold.yaw_deg)
    }
}

/// A scenario in which every step changes both axes.
pub(super) fn dummy() -> Scenario {
    let steps = (0..MOST_STEPS).map(|i| StepEntry {
        name: "Step".to_owned(),
        yaw_deg: Some(10.0 * (i + 1) as f64),
        track_deg: Some(10.0 * (i + 1) as f64),
        move_s: 1.0,
        hold_s: 1.0,
        ..StepEntry::default()
    });
    bare("Errors", steps.collect())
}

/// The track upright nearest to where it is, degrees.
fn upright_deg(track_deg: f64) -> f64 {
    360.0 * (track_deg / 360.0).round()
}

fn bare(title: &str, steps: Vec<StepEntry>) -> Scenario {
    Scenario {
        format: FORMAT,
        title: title.to_owned(),
        about: None,
        anatomy: "typical-adult".to_owned(),
        debris: Vec::new(),
        cupulae: Vec::new(),
        chair: StartAngles::default(),
        body: None,
        steps,
        recorded: Vec::new(),
        limits: None,
        chair_limits: None,
        seed: None,
        engine: None,
        sat_s: None,
        visible_spv_deg_s: None,
        eyes: None,
        notes: None,
    }
}

/// A clump of the middle diameter, of the most central plausible set where the mixture leaves it to these, where
/// the mixture's first place is, in every canal of the case.
fn typical_debris(search: &Search) -> Vec<DebrisEntry> {
    let mut diameter_um = search.mixture.debris.diameter_um.value;
    let central = PlausibleSet::shipped().map(|set| set.members().into_iter().next());
    if let Ok(Some(central)) = central {
        let [middle, spread] =
            [Unknown::Diameter, Unknown::DiameterSpread].map(|unknown| central.value(unknown));
        diameter_um = diameter_um.with_plausible(middle, Some(spread));
    }
    let diameter_um = diameter_um.at(0.5).round();
    let at = match search.mixture.debris.place.value.first() {
        Some(place) if place.at == StartPlace::NonAmpullaryArm => At::NonAmpullaryArm,
        _ => At::AmpullaryArm,
    };
    let canals = search.file.case.canals().into_iter();
    canals
        .map(|id| DebrisEntry::new(id.ear, id.canal, at, 1, diameter_um))
        .collect()
}

fn about(search: &Search) -> About {
    let canals = search.file.case.canals().into_iter();
    About {
        kind: Purpose::Treatment,
        targets: canals.map(Target::from).collect(),
        mechanisms: vec![Mechanism::AmpullaryArm, Mechanism::NonAmpullaryArm],
        source: format!(
            "Found by a search in the model (\"{}\", seed {}); no patient has been treated with it.",
            search.file.title, search.file.seed
        ),
        repeats: "Not known.".to_owned(),
        // What follows from how it moves is told where it is shown.
        cautions: Vec::new(),
        hold_rule:
            "Go on when the time of the hold has passed and nystagmus and vertigo have gone."
                .to_owned(),
    }
}

/// Gravity of a hold in the head.
pub(super) fn down_of(hold: &PlannedHold, limits: &SearchLimits) -> Vec3 {
    lithodrome_chair::down_in_head(limits.angles(hold.yaw_deg, hold.track_deg))
}
