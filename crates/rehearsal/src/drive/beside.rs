//! Planned steps, each with the rest of the drive that comes nearest to it.

use lithodrome_chair::HeadMotion;
use lithodrome_labyrinth::{CanalId, Labyrinth, Vec3};
use serde::Serialize;

use crate::measures::{PlaneMiss, plane_miss};
use crate::units::deg;

/// Farther off than this a planned position was not driven, degrees (assumed).
const NOT_DRIVEN_DEG: f64 = 30.0;
/// The fastest moment of a move is looked for this often, s.
const SPEED_EVERY_S: f64 = 0.02;

/// A planned step and what was driven for it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StepBeside {
    /// Name of the planned step.
    pub name: String,
    /// Rest of the drive, counted from 1; `None` if none came near.
    pub driven_step: Option<usize>,
    /// When that rest began, s of the drive.
    pub at_s: Option<f64>,
    /// Angle between planned and driven direction of gravity, degrees; of the nearest rest if none came near.
    pub off_deg: f64,
    /// The same in the plane of the treated canal and off it; `None` without a canal or a rest.
    pub miss: Option<PlaneMiss>,
    /// What was planned to be turned about that canal's axis in this step, degrees.
    pub planned_turn_deg: f64,
    /// Planned time at rest, s.
    pub planned_hold_s: f64,
    /// Driven time at rest, s.
    pub driven_hold_s: f64,
    /// Fastest turn of the head on the way there as planned, deg/s.
    pub planned_deg_s: f64,
    /// The same as driven.
    pub driven_deg_s: f64,
}

impl StepBeside {
    /// "4° off, held 28 s of 30 s".
    pub fn words(&self) -> String {
        if self.driven_step.is_none() {
            return format!("not driven, nearest rest off by {:.0}°", self.off_deg);
        }
        format!(
            "off by {:.0}°, held {:.0} s of {:.0} s",
            self.off_deg, self.driven_hold_s, self.planned_hold_s
        )
    }

    /// How far off it was, seen by the canal; `None` without one.
    pub fn plane_words(&self) -> Option<String> {
        Some(self.miss?.words(self.planned_turn_deg))
    }
}

/// Every step of a plan with what was driven for it; `canal` is the one that is treated.
pub(super) fn beside(
    plan: &HeadMotion,
    drive: &HeadMotion,
    labyrinth: &Labyrinth,
    canal: Option<CanalId>,
) -> Vec<StepBeside> {
    let (wanted, found) = (rests(plan), rests(drive));
    let nearest = rests_in_order(&wanted, &found);
    let mut before = plan.at(0.0).down_in_head;
    let mut left_s = 0.0;
    let mut all = Vec::with_capacity(wanted.len());
    for (k, step) in plan.steps.iter().enumerate() {
        let off_deg = nearest
            .get(k)
            .map_or(180.0, |&j| deg(wanted[k].angle(&found[j])));
        let near = nearest
            .get(k)
            .copied()
            .filter(|_| off_deg <= NOT_DRIVEN_DEG);
        let miss = |from, to| canal.map(|id| plane_miss(labyrinth, id, from, to));
        let planned = plan.times()[k];
        let at_s = near.map(|j| drive.times()[j].hold_from_s);
        all.push(StepBeside {
            name: step.name.clone(),
            driven_step: near.map(|j| j + 1),
            at_s,
            off_deg,
            miss: near.and_then(|j| miss(wanted[k], found[j])),
            planned_turn_deg: miss(before, wanted[k]).map_or(0.0, |m| m.in_plane_deg),
            planned_hold_s: step.hold_s,
            driven_hold_s: near.map_or(0.0, |j| drive.steps[j].hold_s),
            planned_deg_s: fastest_deg_s(plan, planned.start_s, planned.hold_from_s),
            driven_deg_s: at_s.map_or(0.0, |at_s| fastest_deg_s(drive, left_s, at_s)),
        });
        before = wanted[k];
        if let Some(j) = near {
            left_s = drive.times()[j].end_s;
        }
    }
    all
}

/// Gravity in the head at every rest.
fn rests(motion: &HeadMotion) -> Vec<Vec3> {
    let holds = motion.times().iter();
    holds
        .map(|t| motion.at(t.hold_from_s).down_in_head)
        .collect()
}

fn fastest_deg_s(motion: &HeadMotion, from_s: f64, to_s: f64) -> f64 {
    let n = ((to_s - from_s) / SPEED_EVERY_S).ceil().max(0.0) as usize;
    let speed = |i: usize| {
        let pose = motion.at(from_s + (to_s - from_s) * i as f64 / n as f64);
        pose.angular_velocity_in_head_rad_s.norm()
    };
    deg((1..n).map(speed).fold(0.0, f64::max))
}

/// For each wanted direction a found one, never going back, with the least sum of angles; empty if nothing was
/// found.
pub fn rests_in_order(wanted: &[Vec3], found: &[Vec3]) -> Vec<usize> {
    if found.is_empty() {
        return Vec::new();
    }
    // best[k][j]: least sum for the first k + 1 wanted with the last one at j, and the one before it.
    let mut best: Vec<Vec<(f64, usize)>> = Vec::with_capacity(wanted.len());
    for (k, want) in wanted.iter().enumerate() {
        let mut row = Vec::with_capacity(found.len());
        let mut least = (if k == 0 { 0.0 } else { f64::INFINITY }, 0);
        for (j, here) in found.iter().enumerate() {
            if k > 0 && best[k - 1][j].0 < least.0 {
                least = (best[k - 1][j].0, j);
            }
            row.push((least.0 + want.angle(here), least.1));
        }
        best.push(row);
    }
    let least = |row: &Vec<(f64, usize)>| {
        let all = row.iter().enumerate();
        all.min_by(|a, b| a.1.0.total_cmp(&b.1.0))
            .map_or(0, |(j, _)| j)
    };
    let mut chosen = vec![0; wanted.len()];
    let mut j = best.last().map_or(0, least);
    for k in (0..wanted.len()).rev() {
        chosen[k] = j;
        j = best[k][j].1;
    }
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rests_are_given_to_steps_in_order() {
        let (up, back, left) = (
            Vec3::new(0.0, 0.0, -1.0),
            Vec3::new(-1.0, 0.0, 0.0),
            Vec3::new(0.0, 1.0, 0.0),
        );
        // Driven with a pause halfway and a correction; planned: up, back, left, up.
        let halfway = (up + back).normalize();
        let found = [up, halfway, back, left, up];
        assert_eq!(rests_in_order(&[up, back, left, up], &found), [0, 2, 3, 4]);
        assert!(rests_in_order(&[up], &[]).is_empty());
    }
}
