//! Where the steps of a scenario lead and how long they take, before anything is built of them.

use lithodrome_chair::{
    BedPosture, ChairAngles, Motor, NeckAngles, NeckRange, Trunk, nearest_equivalent,
    reach_by_neck, reach_by_trunk_and_neck, room_from_head, route, throw_time_s,
};
use lithodrome_labyrinth::{Vec3, smallest_turn};
use nalgebra::Rotation3;

use super::body::{Carrier, MoveEntry, NeckEntry, NeckLimits, TrunkEntry};
use super::entries::{Scenario, StepEntry};
use crate::units::{chair_angles, deg, rad, tidy};

impl Scenario {
    /// Yaw and track of a chair at the end of each step, degrees; an axis left out stays, a head direction
    /// is had by the shortest drive. `[step][yaw, track]`
    pub fn angles_deg(&self) -> Vec<[f64; 2]> {
        let angles = chair_angles_deg(self);
        angles[1..].iter().map(|a| [a[0], a[1]]).collect()
    }

    /// Time of each step's move, s: as written, or the mover's own where that is 0.
    pub fn move_times_s(&self) -> Vec<f64> {
        let turns_deg = plan(self).turns_deg();
        let steps = self.steps.iter().zip(turns_deg);
        steps.map(|(s, turn)| move_time_s(s, turn)).collect()
    }

    /// Length of the manoeuvre, s.
    pub fn duration_s(&self) -> f64 {
        let holds_s: f64 = self.steps.iter().map(|s| s.hold_s).sum();
        holds_s + self.move_times_s().iter().sum::<f64>()
    }
}

/// Positions at the start, `[0]`, and at the end of every step.
pub(crate) enum Plan {
    Chair(Vec<ChairAngles>),
    Bed {
        ends: Vec<BedPosture>,
        shortfalls: Vec<Shortfall>,
    },
    ThreeAxes(Vec<Rotation3<f64>>),
}

/// A head direction that a patient's neck does not reach.
#[derive(Clone, Debug, PartialEq)]
pub struct Shortfall {
    /// Step, counted from 0.
    pub step: usize,
    /// Name of the step.
    pub step_name: String,
    /// Gravity as wanted, unit vector in head axes.
    pub wanted_down_in_head: [f64; 3],
    /// Gravity as it can be had.
    pub reached_down_in_head: [f64; 3],
    /// Angle between both.
    pub apart_deg: f64,
}

/// Smaller shortfalls are those of printed digits.
const TOLD_DEG: f64 = 0.1;

impl std::fmt::Display for Shortfall {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let text = |d: [f64; 3]| format!("({:.2}, {:.2}, {:.2})", d[0], d[1], d[2]);
        write!(
            f,
            "step {} ({}): the head comes within {:.1}° of the wanted direction, wanted is gravity \
             along {}, reached {} (body.neck)",
            self.step + 1,
            self.step_name,
            self.apart_deg,
            text(self.wanted_down_in_head),
            text(self.reached_down_in_head),
        )
    }
}

/// The plan of a scenario whose numbers are in their ranges.
pub(crate) fn plan(scenario: &Scenario) -> Plan {
    match scenario.body.unwrap_or_default() {
        Carrier::Chair => Plan::Chair(chair_ends(scenario)),
        Carrier::Bedside { neck } => bed_ends(scenario, neck),
        Carrier::ThreeAxes => Plan::ThreeAxes(three_axes_ends(scenario)),
    }
}

impl Plan {
    /// The largest turn of one axis or joint in each step, degrees.
    pub(crate) fn turns_deg(&self) -> Vec<f64> {
        let rads: Vec<f64> = match self {
            Plan::Chair(ends) => ends.windows(2).map(|e| chair_turn(e[0], e[1])).collect(),
            Plan::Bed { ends, .. } => ends.windows(2).map(|e| e[0].turn_to(&e[1])).collect(),
            Plan::ThreeAxes(ends) => ends.windows(2).map(|e| e[0].angle_to(&e[1])).collect(),
        };
        rads.into_iter().map(|turn| tidy(deg(turn))).collect()
    }
}

fn chair_turn(from: ChairAngles, to: ChairAngles) -> f64 {
    (to.yaw_rad - from.yaw_rad)
        .abs()
        .max((to.track_rad - from.track_rad).abs())
        .max((to.headrest_flexion_rad - from.headrest_flexion_rad).abs())
}

/// Time of a step's move, s: as written, or the mover's own.
pub(crate) fn move_time_s(step: &StepEntry, turn_deg: f64) -> f64 {
    if step.move_s != 0.0 {
        return step.move_s;
    }
    let turn_rad = rad(turn_deg);
    match step.movement {
        Some(MoveEntry::Hand { pace }) => pace.time_s(turn_rad),
        Some(MoveEntry::Motor {
            speed_deg_s,
            acceleration_deg_s2,
        }) => motor(speed_deg_s, acceleration_deg_s2).least_time_s(turn_rad),
        Some(MoveEntry::Throw { .. }) => throw_time_s(turn_rad),
        Some(MoveEntry::Shaking { .. } | MoveEntry::Vibration { .. }) | None => 0.0,
    }
}

pub(crate) fn motor(speed_deg_s: f64, acceleration_deg_s2: f64) -> Motor {
    Motor {
        speed_rad_s: rad(speed_deg_s),
        acceleration_rad_s2: rad(acceleration_deg_s2),
    }
}

/// Yaw, track and headrest at the start and after each step, degrees; an axis left out stays. Head
/// directions become the shortest drive; a run of them is planned together, so that yaw is set where it
/// is free.
pub(crate) fn chair_angles_deg(scenario: &Scenario) -> Vec<[f64; 3]> {
    let chair = scenario.chair;
    let mut now = [chair.yaw_deg, chair.track_deg, chair.headrest_flexion_deg];
    let mut angles = vec![now];
    let steps = &scenario.steps;
    while let Some(step) = steps.get(angles.len() - 1) {
        if step.down_in_head.is_none() {
            now = [
                step.yaw_deg.unwrap_or(now[0]),
                step.track_deg.unwrap_or(now[1]),
                step.headrest_flexion_deg.unwrap_or(now[2]),
            ];
            angles.push(now);
            continue;
        }
        now[2] = step.headrest_flexion_deg.unwrap_or(now[2]);
        let rest = &steps[angles.len() - 1..];
        let downs: Vec<_> = rest
            .iter()
            .enumerate()
            .take_while(|(i, s)| *i == 0 || s.headrest_flexion_deg.is_none())
            .map_while(|(_, s)| s.down_in_head.map(Vec3::from))
            .collect();
        for to in route(chair_angles(now[0], now[1], now[2]), &downs) {
            now = [tidy(deg(to.yaw_rad)), tidy(deg(to.track_rad)), now[2]];
            angles.push(now);
        }
    }
    angles
}

fn chair_ends(scenario: &Scenario) -> Vec<ChairAngles> {
    let angles = chair_angles_deg(scenario);
    let to_rad = |[yaw, track, headrest]: [f64; 3]| chair_angles(yaw, track, headrest);
    angles.into_iter().map(to_rad).collect()
}

fn bed_ends(scenario: &Scenario, neck: NeckLimits) -> Plan {
    let range = NeckRange {
        turn_rad: rad(neck.rotation_deg),
        extend_rad: rad(neck.extension_deg),
        flex_rad: rad(neck.flexion_deg),
        tilt_rad: rad(neck.lateral_deg),
    };
    let mut now = BedPosture::default();
    // What a neck without limits would do; written angles that are left out stay as they were written.
    let mut wanted = now;
    let mut ends = vec![now];
    let mut shortfalls = Vec::new();
    for (i, step) in scenario.steps.iter().enumerate() {
        let trunk = trunk_after(now.trunk, step.trunk);
        let wanted_down = if let Some(down) = step.down_in_head {
            let down = Vec3::from(down).normalize();
            now = if step.trunk.is_some() {
                let lain = BedPosture { trunk, ..now };
                reach_by_neck(&lain, down, &range).posture
            } else {
                reach_by_trunk_and_neck(&now, down, &range).posture
            };
            wanted = now;
            down
        } else {
            wanted = BedPosture {
                trunk,
                neck: neck_after(wanted.neck, step.neck),
            };
            now = BedPosture {
                trunk,
                neck: range.nearest(wanted.neck),
            };
            wanted.down_in_head()
        };
        ends.push(now);
        let reached = now.down_in_head();
        let apart = wanted_down.cross(&reached).norm();
        let apart_deg = deg(apart.atan2(wanted_down.dot(&reached)));
        if apart_deg > TOLD_DEG {
            let tidied = |v: Vec3| [tidy(v.x), tidy(v.y), tidy(v.z)];
            shortfalls.push(Shortfall {
                step: i,
                step_name: step.name.clone(),
                wanted_down_in_head: tidied(wanted_down),
                reached_down_in_head: tidied(reached),
                apart_deg: tidy(apart_deg),
            });
        }
    }
    Plan::Bed { ends, shortfalls }
}

fn trunk_after(now: Trunk, entry: Option<TrunkEntry>) -> Trunk {
    let entry = entry.unwrap_or_default();
    Trunk {
        recline_rad: entry.recline_deg.map_or(now.recline_rad, rad),
        fall_left_rad: entry.fall_left_deg.map_or(now.fall_left_rad, rad),
        roll_left_rad: entry.roll_left_deg.map_or(now.roll_left_rad, rad),
    }
}

fn neck_after(now: NeckAngles, entry: Option<NeckEntry>) -> NeckAngles {
    let entry = entry.unwrap_or_default();
    NeckAngles {
        turn_left_rad: entry.turn_left_deg.map_or(now.turn_left_rad, rad),
        extend_rad: entry.extend_deg.map_or(now.extend_rad, rad),
        tilt_left_rad: entry.tilt_left_deg.map_or(now.tilt_left_rad, rad),
    }
}

/// Orientations as of a chair's angles; a head direction is had by the smallest turn.
fn three_axes_ends(scenario: &Scenario) -> Vec<Rotation3<f64>> {
    let chair = scenario.chair;
    let mut angles = chair_angles(chair.yaw_deg, chair.track_deg, chair.headrest_flexion_deg);
    let mut now = room_from_head(angles);
    let mut ends = vec![now];
    for step in &scenario.steps {
        if let Some(down) = step.down_in_head {
            let to = Vec3::from(down).normalize();
            now *= turn_onto(to, now.inverse() * -Vec3::z());
            angles = nearest_equivalent(angles, to);
        } else if step.yaw_deg.is_some()
            || step.track_deg.is_some()
            || step.headrest_flexion_deg.is_some()
        {
            angles = ChairAngles {
                yaw_rad: step.yaw_deg.map_or(angles.yaw_rad, rad),
                track_rad: step.track_deg.map_or(angles.track_rad, rad),
                headrest_flexion_rad: step
                    .headrest_flexion_deg
                    .map_or(angles.headrest_flexion_rad, rad),
            };
            now = room_from_head(angles);
        }
        ends.push(now);
    }
    ends
}

/// The smallest turn that carries one direction to another; between opposite ones about the ears' axis,
/// or the nose's where that is the direction itself.
fn turn_onto(from: Vec3, to: Vec3) -> Rotation3<f64> {
    smallest_turn(&from, &to).unwrap_or_else(|| {
        let ears = from.cross(&Vec3::y()).cross(&from);
        let axis = if ears.norm() > 1e-6 {
            Vec3::y() - from * from.y
        } else {
            Vec3::x()
        };
        let axis = nalgebra::Unit::new_normalize(axis);
        Rotation3::from_axis_angle(&axis, std::f64::consts::PI)
    })
}
