//! The mean of the published plane studies.

use lithodrome_labyrinth::{How, PLANE_STUDIES, PlaneStudy, Vec3};

/// The mean axes of all studies, weighed by the ears that each measured.
pub fn mean_planes() -> PlaneStudy {
    PlaneStudy {
        name: "mean of three",
        ears: PLANE_STUDIES.iter().map(|study| study.ears).sum(),
        n_exc_in_reid: [0, 1, 2].map(|canal| {
            let axes = PLANE_STUDIES.iter();
            let weighed =
                axes.map(|study| study.n_exc_in_reid[canal].normalize() * f64::from(study.ears));
            weighed.sum::<Vec3>().normalize()
        }),
        source: "mean of Della Santina 2005, Wu 2021 and Blanks 1975 by their 44, 110 and 20 ears",
        how: How::Derived,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mean_axes_lie_between_the_studies() {
        let mean = mean_planes();
        assert_eq!(mean.ears, 174);
        for canal in 0..3 {
            let axis = mean.n_exc_in_reid[canal];
            assert!((axis.norm() - 1.0).abs() < 1e-12);
            for study in &PLANE_STUDIES {
                let off = axis.angle(&study.n_exc_in_reid[canal]).to_degrees();
                assert!(off < 12.0, "{} {canal} {off}", study.name);
            }
        }
    }
}
