//! How far a neck reaches: the posture on a bed that comes nearest to a wanted head direction.

use std::f64::consts::{FRAC_PI_2, PI};

use lithodrome_labyrinth::Vec3;
use nalgebra::{SMatrix, SVector};

use crate::bed::{BedPosture, NeckAngles};
use crate::pose::angle;

/// What a patient's neck allows, each way from looking ahead, radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NeckRange {
    /// Turn to each side.
    pub turn_rad: f64,
    /// Bend back.
    pub extend_rad: f64,
    /// Bend to the front, chin to chest.
    pub flex_rad: f64,
    /// Bend to each side.
    pub tilt_rad: f64,
}

impl Default for NeckRange {
    /// 80° of turn, 60° back, 50° to the front, 45° sideways: a healthy adult's (textbook figures, from
    /// memory).
    fn default() -> Self {
        NeckRange {
            turn_rad: 80_f64.to_radians(),
            extend_rad: 60_f64.to_radians(),
            flex_rad: 50_f64.to_radians(),
            tilt_rad: 45_f64.to_radians(),
        }
    }
}

impl NeckRange {
    /// Every angle as far as it goes toward the wanted one.
    #[must_use]
    pub fn nearest(&self, wanted: NeckAngles) -> NeckAngles {
        NeckAngles {
            turn_left_rad: wanted.turn_left_rad.clamp(-self.turn_rad, self.turn_rad),
            extend_rad: wanted.extend_rad.clamp(-self.flex_rad, self.extend_rad),
            tilt_left_rad: wanted.tilt_left_rad.clamp(-self.tilt_rad, self.tilt_rad),
        }
    }
}

/// A posture for a wanted head direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reached {
    /// The nearest posture.
    pub posture: BedPosture,
    /// Angle between gravity in the head as wanted and as it is there, rad.
    pub short_by_rad: f64,
}

/// Below this, rad, a direction is reached: a hundred-thousandth of a degree.
const REACHED_RAD: f64 = 2e-7;

/// The posture nearest to a wanted head direction with the trunk left as it is: of the neck angles that
/// reach it, or come nearest, those with the least strain.
pub fn reach_by_neck(from: &BedPosture, wanted_down: Vec3, range: &NeckRange) -> Reached {
    let bounds = bounds(from, range, false);
    let neutral = BedPosture {
        trunk: from.trunk,
        neck: NeckAngles::default(),
    };
    nearest(&[neutral, held(from, range)], from, wanted_down, &bounds)
}

/// The posture nearest to a wanted head direction where trunk and neck both may move: the trunk leans
/// between lying on the back and bowing to the front and rolls freely. It does not fall sideways.
pub fn reach_by_trunk_and_neck(from: &BedPosture, wanted_down: Vec3, range: &NeckRange) -> Reached {
    let bounds = bounds(from, range, true);
    let mut starts = vec![held(from, range)];
    for recline_rad in [0.0, 0.5 * FRAC_PI_2, FRAC_PI_2] {
        for quarter in -2..=2 {
            let mut trunk = from.trunk;
            trunk.recline_rad = recline_rad;
            trunk.roll_left_rad += f64::from(quarter) * FRAC_PI_2;
            let start = BedPosture {
                trunk,
                neck: NeckAngles::default(),
            };
            starts.push(start);
        }
    }
    nearest(&starts, from, wanted_down, &bounds)
}

/// The posture with its neck within the range.
fn held(posture: &BedPosture, range: &NeckRange) -> BedPosture {
    BedPosture {
        trunk: posture.trunk,
        neck: range.nearest(posture.neck),
    }
}

type Six = SVector<f64, 6>;

/// Least and most of the six angles.
fn bounds(from: &BedPosture, range: &NeckRange, trunk_moves: bool) -> [Six; 2] {
    let trunk = from.trunk;
    let (recline, roll) = if trunk_moves {
        (
            [-FRAC_PI_2, FRAC_PI_2],
            [trunk.roll_left_rad - PI, trunk.roll_left_rad + PI],
        )
    } else {
        ([trunk.recline_rad; 2], [trunk.roll_left_rad; 2])
    };
    let end = |i: usize, sign: f64, extend: f64| {
        Six::from([
            recline[i],
            trunk.fall_left_rad,
            roll[i],
            sign * range.turn_rad,
            extend,
            sign * range.tilt_rad,
        ])
    };
    [end(0, -1.0, -range.flex_rad), end(1, 1.0, range.extend_rad)]
}

/// The best of what is found from several starts; the first of equal ones.
fn nearest(
    starts: &[BedPosture],
    from: &BedPosture,
    wanted_down: Vec3,
    bounds: &[Six; 2],
) -> Reached {
    let wanted = wanted_down.normalize();
    let from_six = Six::from(from.to_array());
    let mut best: Option<(f64, Reached)> = None;
    for start in starts {
        // First comfort counts a little, so that of many ways an easy one is taken, then nothing but the
        // direction.
        let mut at = Six::from(start.to_array());
        at = descend(at, &from_six, wanted, bounds, 0.03);
        at = descend(at, &from_six, wanted, bounds, 0.0);
        let posture = BedPosture::from_array(at.into());
        let short_by_rad = angle(posture.down_in_head(), wanted);
        // A posture that reaches beats any that does not; of two that do, the easier one wins.
        let cost = 1e3 * (short_by_rad - REACHED_RAD).max(0.0) + strain(&at, &from_six).norm();
        if best.as_ref().is_none_or(|(least, _)| cost < least - 1e-9) {
            let reached = Reached {
                posture,
                short_by_rad,
            };
            best = Some((cost, reached));
        }
    }
    best.map_or(
        Reached {
            posture: *from,
            short_by_rad: angle(from.down_in_head(), wanted),
        },
        |(_, reached)| reached,
    )
}

/// What a posture costs: a bent or turned neck, and a trunk that had to move (a tenth of it).
fn strain(at: &Six, from: &Six) -> Six {
    Six::from_fn(|i, _| {
        if i < 3 {
            0.1 * (at[i] - from[i])
        } else {
            at[i]
        }
    })
}

/// Damped least squares (Levenberg 1944, Quart Appl Math 2:164) within bounds: an angle at its bound
/// that would go beyond it stays.
fn descend(start: Six, from: &Six, wanted: Vec3, bounds: &[Six; 2], comfort: f64) -> Six {
    let inside = |x: Six| Six::from_fn(|i, _| x[i].clamp(bounds[0][i], bounds[1][i]));
    let residual = |x: &Six| {
        let off = BedPosture::from_array((*x).into()).down_in_head() - wanted;
        let mut r = SVector::<f64, 9>::zeros();
        r.fixed_rows_mut::<3>(0).copy_from(&off);
        r.fixed_rows_mut::<6>(3)
            .copy_from(&(comfort * strain(x, from)));
        r
    };
    let mut at = inside(start);
    let mut damping = 1e-3;
    for _ in 0..80 {
        let r = residual(&at);
        let mut slopes = SMatrix::<f64, 9, 6>::zeros();
        let h = 1e-6;
        for i in 0..6 {
            let mut step = Six::zeros();
            step[i] = h;
            let slope = (residual(&(at + step)) - residual(&(at - step))) / (2.0 * h);
            slopes.set_column(i, &slope);
        }
        let downhill = -slopes.transpose() * r;
        for i in 0..6 {
            let fixed = (at[i] <= bounds[0][i] && downhill[i] <= 0.0)
                || (at[i] >= bounds[1][i] && downhill[i] >= 0.0);
            if fixed {
                slopes.set_column(i, &SVector::zeros());
            }
        }
        let pull = -slopes.transpose() * r;
        if pull.norm() < 1e-14 {
            break;
        }
        let curved = slopes.transpose() * slopes + SMatrix::<f64, 6, 6>::identity() * damping;
        let Some(inverse) = curved.try_inverse() else {
            break;
        };
        let next = inside(at + inverse * pull);
        if residual(&next).norm() < r.norm() {
            at = next;
            damping = (damping * 0.3).max(1e-12);
        } else {
            damping *= 10.0;
            if damping > 1e6 {
                break;
            }
        }
    }
    at
}
