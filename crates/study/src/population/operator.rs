//! A written manoeuvre as an operator does it: angles, times and set-up off by what the mixture says.
//!
//! The error of a chair's angle is drawn anew when a move changes that angle, and stays while it does not; at the
//! bedside every neck posture and direction of the head that a step tells is a placing of its own. Two sequences
//! are given the same errors step by step, so that they can be compared in pairs.

use lithodrome_rehearsal::{Carrier, MoveEntry, NeckEntry, Scenario, StepEntry, TrunkEntry};

use super::case_mixture::OperatorNoise;
use super::spread::normal_deviate;
use super::unit_point::UnitPoint;

/// First dimension of the operator's errors: the set-up, then so many for every step.
const FIRST: u32 = 128;
const PER_STEP: u32 = 6;

/// Which error of a step.
#[derive(Clone, Copy)]
enum Error {
    /// Yaw, or the neck's turn.
    Turn = 0,
    /// Track, or the neck's extension.
    Pitch = 1,
    /// The trunk's roll.
    Roll = 2,
    Hold = 3,
    Move = 4,
}

/// The deviates of one operator.
struct Operator<'a> {
    noise: &'a OperatorNoise,
    point: UnitPoint,
}

impl Operator<'_> {
    fn deviate(&self, step: usize, error: Error) -> f64 {
        let dimension = FIRST + 1 + PER_STEP * step as u32 + error as u32;
        normal_deviate(self.point.at(dimension))
    }

    fn set_up_deg(&self) -> f64 {
        self.noise.set_up_sd_deg.value * normal_deviate(self.point.at(FIRST))
    }
}

impl OperatorNoise {
    /// The manoeuvre as done by the operator of a point.
    pub fn done(&self, written: &Scenario, point: UnitPoint) -> Scenario {
        let operator = Operator { noise: self, point };
        let mut done = written.clone();
        match written.body.unwrap_or_default() {
            Carrier::Chair => operator.drive(&mut done),
            Carrier::Bedside { .. } => operator.lay(&mut done),
            // A motor sets its angles; only the head's place in its rest is off.
            Carrier::ThreeAxes => done.chair.headrest_flexion_deg += operator.set_up_deg(),
        }
        for (i, step) in done.steps.iter_mut().enumerate() {
            operator.time(i, step);
        }
        done
    }
}

impl Operator<'_> {
    /// Angles of a chair.
    fn drive(&self, done: &mut Scenario) {
        let sd_deg = self.noise.chair_angle_sd_deg.value;
        let set_up_deg = self.set_up_deg();
        let mut before = [done.chair.yaw_deg, done.chair.track_deg];
        let mut off_deg = [0.0; 2];
        let written = done.angles_deg();
        for (i, (step, angles)) in done.steps.iter_mut().zip(written).enumerate() {
            for (axis, error) in [Error::Turn, Error::Pitch].into_iter().enumerate() {
                if (angles[axis] - before[axis]).abs() > 1e-9 {
                    off_deg[axis] = sd_deg * self.deviate(i, error);
                }
            }
            before = angles;
            step.down_in_head = None;
            step.yaw_deg = Some(angles[0] + off_deg[0]);
            step.track_deg = Some(angles[1] + off_deg[1]);
            if let Some(headrest) = &mut step.headrest_flexion_deg {
                *headrest += set_up_deg;
            }
        }
        done.chair.headrest_flexion_deg += set_up_deg;
    }

    /// Neck and trunk on a bed. The bed stops the trunk, so that only its roll is off.
    fn lay(&self, done: &mut Scenario) {
        let sd_deg = self.noise.bedside_angle_sd_deg.value;
        let set_up_deg = self.set_up_deg();
        for (i, step) in done.steps.iter_mut().enumerate() {
            let off_deg = |error| sd_deg * self.deviate(i, error);
            if let Some(neck) = &mut step.neck {
                hold_neck(
                    neck,
                    off_deg(Error::Turn),
                    off_deg(Error::Pitch) + set_up_deg,
                );
            }
            if let Some(TrunkEntry {
                roll_left_deg: Some(roll),
                ..
            }) = &mut step.trunk
                && *roll != 0.0
            {
                *roll += off_deg(Error::Roll);
            }
            if let Some(down) = &mut step.down_in_head {
                *down = turned(
                    *down,
                    off_deg(Error::Turn),
                    off_deg(Error::Pitch) + set_up_deg,
                );
            }
        }
    }

    /// Times of a step; a motor keeps its own.
    fn time(&self, step: usize, entry: &mut StepEntry) {
        let factor = |error, log_sd: f64| (log_sd * self.deviate(step, error)).exp();
        entry.hold_s *= factor(Error::Hold, self.noise.hold_log_sd.value);
        let move_factor = factor(Error::Move, self.noise.move_log_sd.value);
        match &mut entry.movement {
            None | Some(MoveEntry::Hand { .. }) => entry.move_s *= move_factor,
            Some(MoveEntry::Throw { stop_s }) if entry.move_s > 0.0 => {
                entry.move_s *= move_factor;
                *stop_s *= move_factor;
            }
            Some(
                MoveEntry::Throw { .. }
                | MoveEntry::Motor { .. }
                | MoveEntry::Shaking { .. }
                | MoveEntry::Vibration { .. },
            ) => {}
        }
    }
}

fn hold_neck(neck: &mut NeckEntry, turn_deg: f64, extend_deg: f64) {
    if let Some(turn) = &mut neck.turn_left_deg {
        *turn = (*turn + turn_deg).clamp(-180.0, 180.0);
    }
    if let Some(extend) = &mut neck.extend_deg {
        *extend = (*extend + extend_deg).clamp(-180.0, 180.0);
    }
}

/// A direction in the head, as it is with the head turned left and bent back by so much more.
fn turned(down_in_head: [f64; 3], turn_left_deg: f64, back_deg: f64) -> [f64; 3] {
    let [x, y, z] = down_in_head;
    let (sin, cos) = turn_left_deg.to_radians().sin_cos();
    let (x, y) = (x * cos + y * sin, y * cos - x * sin);
    let (sin, cos) = back_deg.to_radians().sin_cos();
    [x * cos + z * sin, y, z * cos - x * sin]
}
