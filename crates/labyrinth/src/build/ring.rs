//! A test rig: canals that are nothing but rings, for which the motion of debris has closed forms.
//!
//! A real ear has three ducts of varying width that share a crus. Formulas of the literature are for
//! one duct, a part of a torus of constant lumen, closed by a wide part without resistance. A [`Ring`]
//! is that, made of the same tubes with the same wall function as every ear, so that what is measured
//! on it is measured on the code that computes ears.
//!
//! All three canals are equal rings in planes of constant x, 20 mm apart, and do not open into each
//! other or into the sac. The posterior one has its centre in the middle of the head. At yaw 0 the
//! chair's track axis is its axis: with the track at an angle ψ its lowest point is ψ farther from the
//! cupula than in the upright head. The right ear is the mirror image of the left one, as always.

use std::f64::consts::PI;

use crate::lumen::{CanalShape, Cupula, Landmarks};
use crate::{Canal, Ear, EarShape, Labyrinth, Tube, Utricle, Vec3};

/// Distance between the planes of the three rings, mm.
const APART_MM: f64 = 20.0;
/// How far the lumen goes on behind the cupula, mm; nothing ever gets there.
const BEHIND_MM: f64 = 0.4;

/// Measures of a ring. Angles along it count from the cupula.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ring {
    /// Radius of the centre-line.
    pub arc_radius_mm: f64,
    /// Radius of the duct's lumen.
    pub duct_radius_mm: f64,
    /// Length of the slender duct, after the ampulla if there is one.
    pub duct_length_mm: f64,
    /// Radius of the cupula, and of the lumen of the ampulla if there is one.
    pub ampulla_radius_mm: f64,
    /// Length of the ampulla from the cupula to where it begins to narrow; `None`: the duct begins at
    /// the cupula.
    pub ampulla_length_mm: Option<f64>,
    /// Length over which it narrows to the duct.
    pub taper_mm: f64,
    /// Where the lowest point is in an upright head.
    pub lowest_upright_rad: f64,
}

impl Default for Ring {
    /// The duct of the check values: 1.4 π of a circle of 3.2 mm, lumen radius 0.16 mm, cupula radius
    /// 0.68 mm, no ampulla (order used by Curthoys & Oman 1987, Squires et al. 2004, Obrist & Hegemann
    /// 2008; from memory). The lowest point is 25° from the cupula, assumed.
    fn default() -> Ring {
        Ring {
            arc_radius_mm: 3.2,
            duct_radius_mm: 0.16,
            duct_length_mm: 1.4 * PI * 3.2,
            ampulla_radius_mm: 0.68,
            ampulla_length_mm: None,
            taper_mm: 0.5,
            lowest_upright_rad: 25_f64.to_radians(),
        }
    }
}

impl Ring {
    /// The same ring with an ampulla: 1 mm wide and 0.5 mm narrowing, so that an otoconium of 15 µm
    /// takes about 5 s through it (Squires et al. 2004, J Biomech 37:1137).
    #[must_use]
    pub fn with_ampulla(self) -> Ring {
        Ring {
            ampulla_length_mm: Some(1.0),
            ..self
        }
    }

    /// Where the slender duct begins, mm of arc from the cupula.
    pub fn duct_from_mm(&self) -> f64 {
        self.ampulla_length_mm.map_or(0.0, |l| l + self.taper_mm)
    }

    /// A head with this ring for every canal; Reid's plane is level in it.
    pub fn labyrinth(&self) -> Labyrinth {
        let left = self.ear();
        Labyrinth {
            name: "ring".to_owned(),
            reid_pitch_nose_up_rad: 0.0,
            wall_surface: None,
            ears: [left.mirrored(), left],
        }
    }

    fn ear(&self) -> EarShape {
        let utricle = Utricle {
            centre_in_reid_mm: Vec3::zeros(),
            axes_in_reid: [Vec3::x(), Vec3::y(), Vec3::z()],
            semi_axes_mm: [0.2 * self.arc_radius_mm; 3],
        };
        let mut ear = EarShape {
            ear: Ear::Left,
            tubes: Canal::ALL.map(|canal| self.tube(canal)),
            utricle,
            canals: Canal::ALL.map(|canal| self.canal(canal)),
            merge_mm: 0.0,
            links: [Vec::new(), Vec::new(), Vec::new()],
            mouths: Vec::new(),
        };
        ear.join();
        ear
    }

    fn centre(canal: Canal) -> Vec3 {
        let planes = canal.index() as f64 - Canal::Posterior.index() as f64;
        Vec3::x() * (planes * APART_MM)
    }

    /// Point and unit tangent of the centre-line.
    fn at(&self, canal: Canal, arc_mm: f64) -> (Vec3, Vec3) {
        let from_lowest = arc_mm / self.arc_radius_mm - self.lowest_upright_rad;
        let (sin, cos) = from_lowest.sin_cos();
        (
            Ring::centre(canal) - (Vec3::z() * cos + Vec3::y() * sin) * self.arc_radius_mm,
            Vec3::z() * sin - Vec3::y() * cos,
        )
    }

    /// Lumen radius and its slope.
    fn bore(&self, arc_mm: f64) -> (f64, f64) {
        let Some(wide_to) = self.ampulla_length_mm else {
            return (self.duct_radius_mm, 0.0);
        };
        let x = ((arc_mm - wide_to) / self.taper_mm).clamp(0.0, 1.0);
        let less = self.ampulla_radius_mm - self.duct_radius_mm;
        (
            self.ampulla_radius_mm - less * (0.5 - 0.5 * (PI * x).cos()),
            -less * 0.5 * PI / self.taper_mm * (PI * x).sin(),
        )
    }

    fn end_mm(&self) -> f64 {
        self.duct_from_mm() + self.duct_length_mm
    }

    fn tube(&self, canal: Canal) -> Tube {
        Tube::new(
            -BEHIND_MM,
            self.end_mm(),
            |s| self.at(canal, s),
            |s| self.bore(s),
        )
    }

    fn canal(&self, canal: Canal) -> CanalShape {
        let (centre_in_reid_mm, to_duct_in_reid) = self.at(canal, 0.0);
        let end_mm = self.end_mm();
        // From the cupula through the duct the way goes round −x.
        let round = -Vec3::x();
        CanalShape {
            n_exc_in_reid: -round * canal.excited_by_ampullofugal(),
            landmarks: Landmarks {
                port_mm: 0.0,
                short_arm_from_mm: 0.0,
                duct_end_mm: end_mm,
                opening_mm: end_mm,
                crus_from_mm: None,
                arc_radius_mm: self.arc_radius_mm,
                arc_centre_in_reid_mm: Ring::centre(canal),
            },
            cupula: Cupula {
                centre_in_reid_mm,
                to_duct_in_reid,
                radius_mm: self.ampulla_radius_mm,
                thickness_mm: 0.4,
                crista_normal_in_reid: to_duct_in_reid,
                load_axis_in_reid: to_duct_in_reid,
            },
            // The loop closes along the circle.
            area_vector_in_reid_mm2: round * (PI * self.arc_radius_mm * self.arc_radius_mm),
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests may fail loudly")]
    use super::*;

    /// The distance to the wall of a torus is b − |distance to its circle|, by Pythagoras.
    #[test]
    fn the_wall_is_a_torus() {
        let ring = Ring::default();
        let lab = ring.labyrinth();
        let ear = lab.ear(Ear::Left);
        for turn in 0..40 {
            let angle = 0.1 + 0.1 * f64::from(turn);
            let low = angle - ring.lowest_upright_rad;
            let out = -Vec3::z() * low.cos() - Vec3::y() * low.sin();
            for (side, off) in [(0.11, 0.02), (-0.13, -0.05), (0.0, 0.159), (-0.05, 0.1)] {
                let p = out * (ring.arc_radius_mm + side) + Vec3::x() * off;
                let wall = ear.wall(p, &mut ear.find(p));
                let depth = ring.duct_radius_mm - f64::hypot(side, off);
                assert!((wall.depth_mm - depth).abs() < 1e-6, "{angle} {side} {off}");
                assert!((wall.arc_mm - angle * ring.arc_radius_mm).abs() < 1e-6);
                let inward = -(out * side + Vec3::x() * off).normalize();
                assert!((wall.inward - inward).norm() < 1e-5);
                assert_eq!(wall.tube(), Some(Canal::Posterior));
            }
        }
    }

    /// An ampulla narrows from 0.68 to 0.16 mm between 1.0 and 1.5 mm from the cupula.
    #[test]
    fn the_ampulla_narrows_to_the_duct() {
        let ring = Ring::default().with_ampulla();
        let lab = ring.labyrinth();
        let tube = lab.ear(Ear::Left).tube(Canal::Posterior);
        for (arc_mm, radius_mm) in [(0.3, 0.68), (0.99, 0.68), (1.25, 0.42), (1.51, 0.16)] {
            assert!((tube.at(arc_mm).2 - radius_mm).abs() < 0.002, "{arc_mm}");
        }
        assert!((tube.range_mm().1 - 1.5 - 1.4 * PI * 3.2).abs() < 1e-9);
    }
}
