//! The lumen graph, the openings and the macula against the shape of the built ear.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::f64::consts::PI;

use approx::assert_abs_diff_eq;
use lithodrome_labyrinth::{Anatomy, Canal, Ear, Junction, Labyrinth, Region};

fn mean_adult() -> Labyrinth {
    Labyrinth::build(&Anatomy::named("mean-adult").unwrap().unwrap()).unwrap()
}

#[test]
fn curvature_of_an_arc_points_to_its_centre() {
    // A circle of radius R bends by 1/R toward its centre.
    for ear in &mean_adult().ears {
        for canal in Canal::ALL {
            let marks = ear.canal(canal).landmarks;
            let at = ear.course_point(canal, marks.duct_end_mm * 0.4);
            let to_centre = marks.arc_centre_in_reid_mm - at.point_in_reid_mm;
            let expected = to_centre / marks.arc_radius_mm.powi(2);
            assert_abs_diff_eq!(at.curvature_in_reid_per_mm, expected, epsilon = 1e-3);
            assert_abs_diff_eq!(
                at.tangent_in_reid.dot(&to_centre.normalize()),
                0.0,
                epsilon = 1e-6
            );
        }
    }
}

#[test]
fn the_graph_has_three_loops_through_the_utricle() {
    // Gray 1918: five openings, anterior and posterior canal share one. Of a connected graph, loops are
    // segments − junctions + 1: 7 − 5 + 1 = 3.
    let labyrinth = mean_adult();
    let ear = labyrinth.ear(Ear::Left);
    let segments = ear.segments();
    let junctions: std::collections::HashSet<Junction> =
        segments.iter().flat_map(|s| [s.from, s.to]).collect();
    assert_eq!(segments.len() - junctions.len() + 1, 3);
    for s in segments {
        assert!(s.to_mm > s.from_mm, "{s:?}");
        let middle = ear.course_point(s.tube, 0.5 * (s.from_mm + s.to_mm));
        let p = middle.point_in_reid_mm;
        assert_eq!(ear.wall(p, &mut ear.find(p)).region, s.region);
    }
    let at_utricle = segments
        .iter()
        .flat_map(|s| [s.from, s.to])
        .filter(|j| *j == Junction::Utricle)
        .count();
    assert_eq!(at_utricle, ear.openings().len());
}

#[test]
fn openings_and_macula_lie_on_the_utricles_wall() {
    let labyrinth = mean_adult();
    for ear in &labyrinth.ears {
        let u = &ear.utricle;
        let level = |p: lithodrome_labyrinth::Vec3| {
            let d = p - u.centre_in_reid_mm;
            (0..3)
                .map(|i| (u.axes_in_reid[i].dot(&d) / u.semi_axes_mm[i]).powi(2))
                .sum::<f64>()
        };
        for opening in ear.openings() {
            let centre = opening.centre_in_reid_mm;
            assert_abs_diff_eq!(level(centre), 1.0, epsilon = 1e-3);
            let inside = centre + opening.into_utricle_in_reid * 0.1;
            assert!(level(inside) < 1.0, "{opening:?}");
        }
        assert_eq!(ear.openings()[3].region, Region::CommonCrus);
        let macula = ear.macula();
        assert_abs_diff_eq!(level(macula.centre_in_reid_mm), 1.0, epsilon = 1e-9);
        // Tribukait & Rosenhall 2001: 4.30 mm². On the floor, parallel to the lateral canal.
        let [a, b] = macula.semi_axes_mm;
        assert_abs_diff_eq!(PI * a * b, 4.30, epsilon = 1e-9);
        let lateral = ear.canal(Canal::Lateral).n_exc_in_reid;
        assert_abs_diff_eq!(
            macula.normal_in_reid.dot(&lateral).abs(),
            1.0,
            epsilon = 1e-9
        );
        assert!(macula.normal_in_reid.z > 0.9);
    }
}
