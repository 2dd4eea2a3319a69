//! How much slower than in free fluid a sphere moves in a tube and at a wall, and how strongly it and
//! the flow through the tube move each other. Pure functions of ratios.

use std::f64::consts::PI;
use std::sync::LazyLock;

use super::matter::Rolling;

/// Resistance over Stokes drag of a sphere on the axis of a tube, at rest fluid far away.
///
/// # Equation
/// K1 = K_t / 6π, K_t = (9/4)π²√2 ε^(−5/2) [1 − (73/60)ε + (77293/50400)ε²] − 22.5083 − 5.6117λ
/// − 0.3363λ² − 1.216λ³ + 1.647λ⁴, ε = 1 − λ.
/// # Source
/// Bungay & Brenner 1973, Int J Multiphase Flow 1:25 (coefficients from memory).
/// # Valid for
/// Every λ from 0 (free) to below 1 (plug).
pub fn axis_resistance(lambda: f64) -> f64 {
    let l = lambda.clamp(0.0, 0.999);
    let e = 1.0 - l;
    let series = 1.0 - 73.0 / 60.0 * e + 77293.0 / 50400.0 * e * e;
    let tail = -22.5083 - 5.6117 * l - 0.3363 * l * l - 1.216 * l.powi(3) + 1.647 * l.powi(4);
    (2.25 * PI * PI * 2f64.sqrt() * e.powf(-2.5) * series + tail) / (6.0 * PI)
}

/// Velocity that a unit mean flow gives a sphere on the axis, and the pressure that a unit force on it
/// makes, in units of 1/A: β = 2 (1 − ⅔λ² − 0.20217λ⁵) / (1 − 0.75857λ⁵).
///
/// # Source
/// Haberman & Sayre 1958, David Taylor Model Basin Report 1143 (from memory), with the reciprocal theorem.
/// # Valid for
/// λ to about 0.9; it ends at 1.11 for a plug, where 1 is right.
pub fn axis_entrainment(lambda: f64) -> f64 {
    let l = lambda.clamp(0.0, 1.0);
    2.0 * (1.0 - 2.0 / 3.0 * l * l - 0.20217 * l.powi(5)) / (1.0 - 0.75857 * l.powi(5))
}

/// Speed over free speed of a sphere moving along a plane wall without touching it, gap `delta` in radii.
///
/// # Source
/// Faxén's series, Happel & Brenner 1965, Low Reynolds Number Hydrodynamics, eq. 7-4.28 (from memory).
pub fn along_plane(delta: f64) -> f64 {
    let x = 1.0 / (1.0 + delta);
    1.0 - x * (9.0 / 16.0 - x * x * (1.0 / 8.0 - x * (45.0 / 256.0 + x / 16.0)))
}

/// Speed over free speed of a sphere moving straight at a plane wall.
///
/// # Source
/// Bevan & Prieve 2000, J Chem Phys 113:1228, eq. 3: (6δ² + 2δ) / (6δ² + 9δ + 2).
pub fn toward_plane(delta: f64) -> f64 {
    (6.0 * delta * delta + 2.0 * delta) / (6.0 * delta * delta + 9.0 * delta + 2.0)
}

/// Ratios that act on one body at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mobility {
    /// Speed along the wall over free speed.
    pub along: f64,
    /// Speed away from or toward the wall over free speed.
    pub across: f64,
    /// Entrainment β, in units of 1 / lumen area; 0 in the utricle.
    pub entrainment: f64,
}

/// Table of 1/K1 so that the engines need no fractional powers.
#[derive(Clone, Debug, PartialEq)]
pub struct DragTable {
    pub(crate) axis: Vec<f64>,
}

pub(crate) const ENTRIES: usize = 1024;

impl Default for DragTable {
    fn default() -> DragTable {
        DragTable::new()
    }
}

impl DragTable {
    /// Tabulates.
    pub fn new() -> DragTable {
        let axis = (0..=ENTRIES)
            .map(|i| 1.0 / axis_resistance(i as f64 / ENTRIES as f64))
            .collect();
        DragTable { axis }
    }

    /// The one table that all models read: it depends on nothing.
    pub(crate) fn shared() -> &'static DragTable {
        static TABLE: LazyLock<DragTable> = LazyLock::new(DragTable::new);
        &TABLE
    }

    /// 1/K1 on the axis.
    pub fn axis_mobility(&self, lambda: f64) -> f64 {
        let x = lambda.clamp(0.0, 1.0) * ENTRIES as f64;
        let k = (x as usize).min(ENTRIES - 1);
        self.axis[k] + (x - k as f64) * (self.axis[k + 1] - self.axis[k])
    }

    /// Ratios for a sphere that rolls so on the wall, of `lambda` = radius / lumen radius, `off_axis` = distance from the axis /
    /// lumen radius, and the gap `delta` to the wall in radii.
    ///
    /// At the roughness gap the sphere rolls; from there to ten times the gap it loses its grip and
    /// follows Faxén's series; the tube's own resistance is never undercut. Entrainment goes from its
    /// rolling value to the axis value less the parabola of the flow over a gap of one radius
    /// (Goldman, Cox & Brenner 1967, Chem Eng Sci 22:653: 0.48, 0.68, 0.96 of the local flow at gaps of
    /// 1, 10, 100 %).
    #[inline]
    pub fn at(&self, rolling: &Rolling, lambda: f64, off_axis: f64, delta: f64) -> Mobility {
        let on_axis = self.axis_mobility(lambda);
        let beta_axis = axis_entrainment(lambda);
        let beta_wall = (rolling.entrainment * lambda).min(beta_axis);
        let delta = delta.max(rolling.gap);
        if delta <= rolling.gap {
            return Mobility {
                along: rolling.mobility.min(on_axis),
                across: toward_plane(delta).min(on_axis),
                entrainment: beta_wall,
            };
        }
        let decades = if delta < 1.0 {
            (delta / rolling.gap).log10()
        } else {
            2.0
        };
        let free = along_plane(delta);
        let along = rolling.mobility + (free - rolling.mobility) * smooth(decades);
        let beta_free = (beta_axis - 2.0 * off_axis * off_axis).max(beta_wall);
        Mobility {
            along: along.min(on_axis),
            across: toward_plane(delta).min(on_axis),
            entrainment: beta_wall + (beta_free - beta_wall) * smooth(0.5 * decades),
        }
    }
}

/// 0 to 1 with flat ends.
fn smooth(x: f64) -> f64 {
    let x = x.clamp(0.0, 1.0);
    x * x * (3.0 - 2.0 * x)
}
