//! Measures of a built ear, to set beside published ones.

use nalgebra::{Matrix3, SymmetricEigen};

use crate::{Canal, EarShape, Vec3};

/// What is measured on one canal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measures {
    /// Unit normal of the plane fitted to the slender duct, Reid axes, on the side of `n_exc`.
    pub fitted_normal_in_reid: Vec3,
    /// Root mean square distance of the duct's centre-line from that plane, mm.
    pub plane_fit_residual_mm: f64,
    /// Length from the cupula to the duct's end (crus or opening), mm.
    pub duct_length_mm: f64,
    /// Least lumen radius of the duct, mm.
    pub duct_radius_mm: f64,
    /// Volume of the duct, mm³.
    pub duct_volume_mm3: f64,
}

impl EarShape {
    /// Measures one canal by sampling its centre-line.
    pub fn measures(&self, canal: Canal) -> Measures {
        let shape = self.canal(canal);
        let tube = self.tube(canal);
        let end = shape.landmarks.duct_end_mm;
        let n = 1000;
        let step = end / f64::from(n);
        let samples: Vec<_> = (0..=n).map(|i| tube.at(f64::from(i) * step)).collect();
        let mean = samples.iter().map(|s| s.0).sum::<Vec3>() / samples.len() as f64;
        let spread = samples.iter().fold(Matrix3::zeros(), |m, s| {
            let d = s.0 - mean;
            m + d * d.transpose()
        });
        let eigen = SymmetricEigen::new(spread);
        let least = eigen.eigenvalues.imin();
        let normal: Vec3 = eigen.eigenvectors.column(least).into_owned();
        let side = normal.dot(&shape.n_exc_in_reid).signum();
        let square_sum: f64 = samples
            .iter()
            .map(|s| (s.0 - mean).dot(&normal).powi(2))
            .sum();
        Measures {
            fitted_normal_in_reid: normal * side,
            plane_fit_residual_mm: (square_sum / samples.len() as f64).sqrt(),
            duct_length_mm: end,
            duct_radius_mm: samples.iter().map(|s| s.2).fold(f64::INFINITY, f64::min),
            duct_volume_mm3: samples
                .iter()
                .map(|s| std::f64::consts::PI * s.2 * s.2 * step)
                .sum(),
        }
    }
}

/// Angle between two axes, rad.
pub fn angle_between_rad(a: Vec3, b: Vec3) -> f64 {
    a.cross(&b).norm().atan2(a.dot(&b))
}
