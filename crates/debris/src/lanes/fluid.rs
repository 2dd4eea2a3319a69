//! Endolymph and cupulae of four ears: [`Endolymph::step`] in lanes.

use lithodrome_labyrinth::{Vec3, Vec3x4};
use nalgebra::{Matrix3, Vector3};
use wide::f64x4;

use crate::endolymph::{Displacement, Endolymph};

/// Three loops of four ears, `[canal][lane]`.
pub(crate) type Loops = [f64x4; 3];

/// Constants of four ears' fluids: the fields of [`Endolymph`] that steps need, `[lane]`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FluidLanes {
    stiffness: Loops,
    circulation: [Vec3x4; 3],
    inverse: Matrix3x4,
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
    pub(crate) fn from_lanes(lanes: [Displacement; 4]) -> DisplacementLanes {
        DisplacementLanes {
            debris_mm3: loops(lanes.map(|d| d.debris_mm3)),
            rotation_mm3: loops(lanes.map(|d| d.rotation_mm3)),
        }
    }

    /// The volumes of one lane, 0 to 3.
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
}

impl FluidLanes {
    /// Gathers the constants of four ears.
    pub(crate) fn new(fluids: [&Endolymph; 4]) -> FluidLanes {
        FluidLanes {
            stiffness: loops(fluids.map(|f| f.stiffness)),
            circulation: [0, 1, 2].map(|i| Vec3x4::from_lanes(fluids.map(|f| f.circulation[i]))),
            inverse: Matrix3x4::new(&fluids.map(|f| f.inverse)),
            rates_per_s: loops(fluids.map(|f| f.rates_per_s)),
            per_rate_s: loops(fluids.map(|f| f.rates_per_s.map(|r| 1.0 / r))),
            from_modes: Matrix3x4::new(&fluids.map(|f| f.from_modes)),
            to_modes: Matrix3x4::new(&fluids.map(|f| f.to_modes)),
            drive_modes: Matrix3x4::new(&fluids.map(|f| f.to_modes * f.inverse)),
        }
    }

    /// Twin of [`Endolymph::step`], each lane by its own `dt_s`, above 0.
    #[inline]
    pub(crate) fn step(
        &self,
        state: &mut DisplacementLanes,
        pressure_mpa: &Loops,
        turn_in_reid_rad_s: &Vec3x4,
        dt_s: f64x4,
    ) {
        // One by one: the library's exponential is exact to the last bit, and faster than one in lanes.
        let exp = |x: f64x4| f64x4::new(x.to_array().map(f64::exp));
        let decay = self.rates_per_s.map(|r| exp(-r * dt_s));
        let gain = [0, 1, 2].map(|i| (1.0 - decay[i]) * self.per_rate_s[i]);
        let advance = |v: &Loops, pressure: &Loops| {
            let mode = self.to_modes.times(v);
            let drive = self.drive_modes.times(pressure);
            self.from_modes
                .times(&[0, 1, 2].map(|i| decay[i] * mode[i] + gain[i] * drive[i]))
        };
        state.debris_mm3 = advance(&state.debris_mm3, pressure_mpa);
        let turn = turn_in_reid_rad_s;
        if any_but_zero(&state.rotation_mm3) || any_but_zero(&[turn.x, turn.y, turn.z]) {
            let per_s = 1.0 / dt_s;
            let kick = self.circulation.map(|c| -c.dot(turn) * per_s);
            state.rotation_mm3 = advance(&state.rotation_mm3, &kick);
        }
    }

    /// Twin of [`Endolymph::slope`].
    #[inline]
    pub(crate) fn slope(
        &self,
        state: &DisplacementLanes,
        pressure_mpa: &Loops,
        acceleration_in_reid_rad_s2: &Vec3x4,
    ) -> DisplacementLanes {
        let inertia = self
            .circulation
            .map(|c| -c.dot(acceleration_in_reid_rad_s2));
        let eased = |drive: &Loops, v: &Loops| {
            self.inverse
                .times(&[0, 1, 2].map(|i| drive[i] - self.stiffness[i] * v[i]))
        };
        DisplacementLanes {
            debris_mm3: eased(pressure_mpa, &state.debris_mm3),
            rotation_mm3: eased(&inertia, &state.rotation_mm3),
        }
    }
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

fn lane_of([x, y, z]: &Loops, lane: usize) -> Vec3 {
    Vec3x4::new(*x, *y, *z).lane(lane)
}

#[inline]
fn any_but_zero(v: &[f64x4; 3]) -> bool {
    v.iter().any(|v| v.simd_ne(f64x4::ZERO).any())
}
