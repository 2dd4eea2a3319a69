//! How much slower than in free fluid four spheres move: [`DragTable::at`] in lanes.

use std::f64::consts::LOG10_E;

use lithodrome_labyrinth::whole;
use wide::f64x4;

use crate::Rolling;
use crate::model::drag::{DragTable, ENTRIES};

/// Twin of [`crate::model::drag::Mobility`], `[lane]`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct MobilityLanes {
    pub(crate) along: f64x4,
    pub(crate) across: f64x4,
    pub(crate) entrainment: f64x4,
}

/// Four tables, `[lane]`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct DragLanes<'a> {
    tables: [&'a DragTable; 4],
    rolling_mobility: f64x4,
    rolling_entrainment: f64x4,
    roughness: f64x4,
    per_roughness: f64x4,
    /// A body that lies on the wall is a rounding error above its roughness.
    rolls_below: f64x4,
}

/// Nearer to its roughness than this share a body rolls: what it is slower by is below 1e-15 of its speed.
const ROLLS: f64 = 1e-8;

impl<'a> DragLanes<'a> {
    /// Gathers four tables and how four bodies roll.
    pub(crate) fn new(tables: [&'a DragTable; 4], rolling: [&Rolling; 4]) -> DragLanes<'a> {
        let each = |number: fn(&Rolling) -> f64| f64x4::new(rolling.map(number));
        DragLanes {
            tables,
            rolling_mobility: each(|r| r.mobility),
            rolling_entrainment: each(|r| r.entrainment),
            roughness: each(|r| r.gap),
            per_roughness: each(|r| 1.0 / r.gap),
            rolls_below: each(|r| r.gap * (1.0 + ROLLS)),
        }
    }

    /// Twin of [`DragTable::axis_mobility`].
    #[inline]
    fn axis_mobility(&self, lambda: f64x4) -> f64x4 {
        let x = zero_to_one(lambda) * ENTRIES as f64;
        let (k, number) = whole(x.fast_min(f64x4::splat((ENTRIES - 1) as f64)));
        let ends = [0, 1, 2, 3].map(|lane| &self.tables[lane].axis[k[lane]..k[lane] + 2]);
        let [a, b] = [0, 1].map(|end| f64x4::new(ends.map(|ends| ends[end])));
        a + (x - number) * (b - a)
    }

    /// Twin of [`DragTable::at`].
    #[inline]
    pub(crate) fn at(&self, lambda: f64x4, off_axis: f64x4, delta: f64x4) -> MobilityLanes {
        let on_axis = self.axis_mobility(lambda);
        let beta_axis = axis_entrainment(lambda);
        let beta_wall = (self.rolling_entrainment * lambda).fast_min(beta_axis);
        let delta = delta.fast_max(self.roughness);
        let across = toward_plane(delta).fast_min(on_axis);
        let rolls = delta.simd_le(self.rolls_below);
        if rolls.all() {
            return MobilityLanes {
                along: self.rolling_mobility.fast_min(on_axis),
                across,
                entrainment: beta_wall,
            };
        }
        let mut decades = f64x4::splat(2.0);
        let grips = delta.simd_lt(1.0);
        if grips.any() {
            let ratio = grips.select(delta * self.per_roughness, f64x4::ONE);
            decades = grips.select(ratio.ln() * LOG10_E, decades);
        }
        // A body that rolls has a ratio of 1: no decades, and all that follows is as above.
        decades &= !rolls;
        let free = along_plane(delta);
        let along = self.rolling_mobility + (free - self.rolling_mobility) * smooth(decades);
        let beta_free = (beta_axis - 2.0 * off_axis * off_axis).fast_max(beta_wall);
        MobilityLanes {
            along: along.fast_min(on_axis),
            across,
            entrainment: beta_wall + (beta_free - beta_wall) * smooth(0.5 * decades),
        }
    }
}

/// Twin of [`crate::model::drag::axis_entrainment`].
#[inline]
fn axis_entrainment(lambda: f64x4) -> f64x4 {
    let l = zero_to_one(lambda);
    let l2 = l * l;
    let l5 = l2 * l2 * l;
    2.0 * (1.0 - 2.0 / 3.0 * l2 - 0.20217 * l5) / (1.0 - 0.75857 * l5)
}

/// Twin of [`crate::model::drag::along_plane`].
#[inline]
fn along_plane(delta: f64x4) -> f64x4 {
    let x = 1.0 / (1.0 + delta);
    1.0 - x * (9.0 / 16.0 - x * x * (1.0 / 8.0 - x * (45.0 / 256.0 + x * (1.0 / 16.0))))
}

/// Twin of [`crate::model::drag::toward_plane`].
#[inline]
fn toward_plane(delta: f64x4) -> f64x4 {
    let six = 6.0 * delta * delta;
    (six + 2.0 * delta) / (six + 9.0 * delta + 2.0)
}

/// Twin of the scalar `smooth`.
#[inline]
fn smooth(x: f64x4) -> f64x4 {
    let x = zero_to_one(x);
    x * x * (3.0 - 2.0 * x)
}

#[inline]
fn zero_to_one(x: f64x4) -> f64x4 {
    x.fast_max(f64x4::ZERO).fast_min(f64x4::ONE)
}
