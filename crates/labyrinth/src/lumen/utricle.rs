//! The utricle's sac: an ellipsoid.

use crate::Vec3;
use crate::frame::{length, mirror_point};

/// An ellipsoid in Reid axes, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Utricle {
    /// Its centre.
    pub centre_in_reid_mm: Vec3,
    /// Unit vectors along the half axes: long, wide, high.
    pub axes_in_reid: [Vec3; 3],
    /// Half axes, mm.
    pub semi_axes_mm: [f64; 3],
}

impl Utricle {
    /// Distance to the wall (mm, positive inside, first order) and its unit gradient.
    pub(crate) fn depth(&self, p: Vec3) -> (f64, Vec3) {
        let q = self.local(p);
        let (mut level, mut steep) = (0.0, 0.0);
        let (mut to_level, mut to_steep) = (Vec3::zeros(), Vec3::zeros());
        for i in 0..3 {
            let r2 = self.semi_axes_mm[i] * self.semi_axes_mm[i];
            let (x, y) = (q[i] / r2, q[i] / (r2 * r2));
            level += q[i] * x;
            steep += q[i] * y;
            to_level += self.axes_in_reid[i] * x;
            to_steep += self.axes_in_reid[i] * y;
        }
        let (level, steep) = (level.sqrt(), steep.sqrt());
        if level < 1e-3 {
            return (self.semi_axes_mm[2], self.axes_in_reid[2]);
        }
        // d = (1 − L) L / S with L = |q/r|, S = |q/r²|, and its gradient.
        let depth = (1.0 - level) * level / steep;
        let gradient = to_level * ((1.0 - 2.0 * level) / (steep * level))
            - to_steep * ((1.0 - level) * level / (steep * steep * steep));
        let size = length(&gradient);
        (depth / size.max(0.5), gradient / size.max(1e-9))
    }

    /// Volume, mm³.
    pub fn volume_mm3(&self) -> f64 {
        4.0 / 3.0 * std::f64::consts::PI * self.semi_axes_mm.iter().product::<f64>()
    }

    /// The point of its surface nearest to an outside point, by Newton on the closed-form condition
    /// x_i = r_i² q_i / (r_i² + t).
    pub(crate) fn nearest_surface_point(&self, p: Vec3) -> Vec3 {
        let q = self.local(p);
        let r2: Vec<f64> = self.semi_axes_mm.iter().map(|r| r * r).collect();
        let mut t = 0.0;
        for _ in 0..60 {
            let (mut f, mut slope) = (-1.0, 0.0);
            for i in 0..3 {
                let g = r2[i] * q[i] * q[i] / ((r2[i] + t) * (r2[i] + t));
                f += g;
                slope -= 2.0 * g / (r2[i] + t);
            }
            let step = f / slope;
            t -= step;
            if step.abs() < 1e-14 {
                break;
            }
        }
        (0..3).fold(self.centre_in_reid_mm, |sum, i| {
            sum + self.axes_in_reid[i] * (r2[i] * q[i] / (r2[i] + t))
        })
    }

    /// Share of a ray's length at which it first meets the surface from outside, if it does.
    pub(crate) fn first_hit(&self, from: Vec3, direction: Vec3) -> Option<f64> {
        let q = self.local(from);
        let (mut a, mut b, mut c) = (0.0, 0.0, -1.0);
        for i in 0..3 {
            let r = self.semi_axes_mm[i];
            let (x, v) = (q[i] / r, self.axes_in_reid[i].dot(&direction) / r);
            a += v * v;
            b += x * v;
            c += x * x;
        }
        let root = b * b - a * c;
        (root >= 0.0)
            .then(|| (-b - root.sqrt()) / a)
            .filter(|t| *t >= 0.0)
    }

    /// The same in the other ear.
    pub(crate) fn mirrored(&self) -> Utricle {
        Utricle {
            centre_in_reid_mm: mirror_point(self.centre_in_reid_mm),
            axes_in_reid: self.axes_in_reid.map(mirror_point),
            semi_axes_mm: self.semi_axes_mm,
        }
    }

    fn local(&self, p: Vec3) -> Vec3 {
        let d = p - self.centre_in_reid_mm;
        Vec3::new(
            self.axes_in_reid[0].dot(&d),
            self.axes_in_reid[1].dot(&d),
            self.axes_in_reid[2].dot(&d),
        )
    }
}
