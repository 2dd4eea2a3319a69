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
                // A weighted mean is no farther from any study than the farthest other study is.
                let own = study.n_exc_in_reid[canal];
                let others = PLANE_STUDIES
                    .iter()
                    .map(|s| own.angle(&s.n_exc_in_reid[canal]));
                let (off, farthest) = (axis.angle(&own), others.fold(0.0, f64::max));
                assert!(off < farthest, "{} {canal} {off} {farthest}", study.name);
            }
        }
    }
}
