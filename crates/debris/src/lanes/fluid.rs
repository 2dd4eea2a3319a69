//! Endolymph and cupulae of four ears: [`Endolymph::step_between`] in lanes.

use lithodrome_labyrinth::Vec3x4;
use nalgebra::{Matrix3, Vector3};
use wide::f64x4;

#[cfg(test)]
use crate::model::endolymph::Displacement;
use crate::model::endolymph::Endolymph;

/// Three loops of four ears, `[canal][lane]`.
pub(crate) type Loops = [f64x4; 3];

/// Constants of four ears' fluids: the fields of [`Endolymph`] that steps need, `[lane]`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FluidLanes {
    circulation: [Vec3x4; 3],
    rates_per_s: Loops,
    per_rate_s: Loops,
    from_modes: Matrix3x4,
    to_modes: Matrix3x4,
    /// What a pressure drives in the modes: `to_modes` after `inverse`.
    drive_modes: Matrix3x4,
}

/// Twin of [`Displacement`]: displaced volumes of four ears, mm³, positive ampullofugal.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct DisplacementLanes {
    /// By debris, `[canal][lane]`.
    pub(crate) debris_mm3: Loops,
    /// By the head's rotation, `[canal][lane]`.
    pub(crate) rotation_mm3: Loops,
}

impl DisplacementLanes {
    /// One ear per lane.
    #[cfg(test)]
    pub(crate) fn from_lanes(lanes: [Displacement; 4]) -> DisplacementLanes {
        DisplacementLanes {
            debris_mm3: loops(lanes.map(|d| d.debris_mm3)),
            rotation_mm3: loops(lanes.map(|d| d.rotation_mm3)),
        }
    }

    /// The volumes of one lane, 0 to 3.
    #[cfg(test)]
    pub(crate) fn lane(&self, lane: usize) -> Displacement {
        Displacement {
            debris_mm3: lane_of(&self.debris_mm3, lane),
            rotation_mm3: lane_of(&self.rotation_mm3, lane),
        }
    }

    /// Twin of [`Displacement::total_mm3`].
    #[inline]
    pub(crate) fn total_mm3(&self) -> Loops {
        [0, 1, 2].map(|i| self.debris_mm3[i] + self.rotation_mm3[i])
    }

    /// Itself where the mask is set, `other` elsewhere.
    #[inline]
    pub(crate) fn select(&self, mask: f64x4, other: &DisplacementLanes) -> DisplacementLanes {
        let choose = |a: &Loops, b: &Loops| [0, 1, 2].map(|i| mask.select(a[i], b[i]));
        DisplacementLanes {
            debris_mm3: choose(&self.debris_mm3, &other.debris_mm3),
            rotation_mm3: choose(&self.rotation_mm3, &other.rotation_mm3),
        }
    }
}

impl FluidLanes {
    /// Gathers the constants of four ears.
    pub(crate) fn new(fluids: [&Endolymph; 4]) -> FluidLanes {
        FluidLanes {
            circulation: [0, 1, 2].map(|i| Vec3x4::from_lanes(fluids.map(|f| f.circulation[i]))),
            rates_per_s: loops(fluids.map(|f| f.rates_per_s)),
            per_rate_s: loops(fluids.map(|f| f.rates_per_s.map(|r| 1.0 / r))),
            from_modes: Matrix3x4::new(&fluids.map(|f| f.from_modes)),
            to_modes: Matrix3x4::new(&fluids.map(|f| f.to_modes)),
            drive_modes: Matrix3x4::new(&fluids.map(|f| f.to_modes * f.inverse)),
        }
    }

    /// Twin of [`Endolymph::step_between`], each lane by its own `dt_s`, above 0.
    #[inline]
    pub(crate) fn step_between(
        &self,
        state: &mut DisplacementLanes,
        [first_mpa, last_mpa]: [&Loops; 2],
        turn_in_reid_rad_s: &Vec3x4,
        dt_s: f64x4,
    ) {
        let lost = self.rates_per_s.map(|r| lost(r * dt_s));
        let decay = lost.map(|lost| 1.0 - lost);
        let per_s = 1.0 / dt_s;
        let gain = [0, 1, 2].map(|i| lost[i] * self.per_rate_s[i]);
        let late = [0, 1, 2].map(|i| (1.0 - gain[i] * per_s) * self.per_rate_s[i]);
        let modes = |pressure: &Loops| self.drive_modes.times(pressure);
        let advance = |v: &Loops, drive: &Loops| {
            let mode = self.to_modes.times(v);
            self.from_modes
                .times(&[0, 1, 2].map(|i| decay[i] * mode[i] + drive[i]))
        };
        let first = modes(first_mpa);
        let change = modes(&[0, 1, 2].map(|i| last_mpa[i] - first_mpa[i]));
        let drive = [0, 1, 2].map(|i| gain[i] * first[i] + late[i] * change[i]);
        state.debris_mm3 = advance(&state.debris_mm3, &drive);
        let turn = turn_in_reid_rad_s;
        if any_but_zero(&state.rotation_mm3) || any_but_zero(&[turn.x, turn.y, turn.z]) {
            let kick = modes(&self.circulation.map(|c| -c.dot(turn) * per_s));
            let drive = [0, 1, 2].map(|i| gain[i] * kick[i]);
            state.rotation_mm3 = advance(&state.rotation_mm3, &drive);
        }
    }
}

/// 1 − e^−x for x from 0. Steps are mostly short for a cupula: then ten terms of the series are exact to
/// 1e-15, and faster than the library's exponential, lane by lane.
#[inline]
fn lost(x: f64x4) -> f64x4 {
    const SHORT: f64 = 0.25;
    const PER_FACTORIAL: [f64; 10] = [
        -1.0 / 3_628_800.0,
        1.0 / 362_880.0,
        -1.0 / 40_320.0,
        1.0 / 5040.0,
        -1.0 / 720.0,
        1.0 / 120.0,
        -1.0 / 24.0,
        1.0 / 6.0,
        -0.5,
        1.0,
    ];
    let series = PER_FACTORIAL
        .into_iter()
        .fold(f64x4::ZERO, |sum, c| (sum + c) * x);
    let long = x.simd_gt(SHORT);
    if !long.any() {
        return series;
    }
    // Only where it is long: what a lane gives must not depend on those beside it.
    let exact = f64x4::new(x.to_array().map(|x| -(-x).exp_m1()));
    long.select(exact, series)
}

/// A matrix per lane, `[row][column]`.
#[derive(Clone, Copy, Debug)]
struct Matrix3x4([[f64x4; 3]; 3]);

impl Matrix3x4 {
    fn new(lanes: &[Matrix3<f64>; 4]) -> Matrix3x4 {
        Matrix3x4([0, 1, 2].map(|row| {
            [0, 1, 2].map(|column| f64x4::new(lanes.each_ref().map(|m| m[(row, column)])))
        }))
    }

    #[inline]
    fn times(&self, [a, b, c]: &Loops) -> Loops {
        [0, 1, 2].map(|row| {
            let [x, y, z] = self.0[row];
            x * *a + y * *b + z * *c
        })
    }
}

fn loops(lanes: [Vector3<f64>; 4]) -> Loops {
    let Vec3x4 { x, y, z } = Vec3x4::from_lanes(lanes);
    [x, y, z]
}

#[cfg(test)]
fn lane_of([x, y, z]: &Loops, lane: usize) -> Vector3<f64> {
    Vec3x4::new(*x, *y, *z).lane(lane)
}

#[inline]
fn any_but_zero(v: &[f64x4; 3]) -> bool {
    v.iter().any(|v| v.simd_ne(f64x4::ZERO).any())
}
