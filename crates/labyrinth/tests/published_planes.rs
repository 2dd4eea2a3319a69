//! The built ears against Della Santina et al. 2005 (J Assoc Res Otolaryngol 6:191) and against
//! numbers worked out independently from the same construction.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    clippy::cast_possible_wrap,
    reason = "helpers of tests may fail loudly; signs are exact; counts are small"
)]

use approx::assert_abs_diff_eq;
use lithodrome_labyrinth::{
    Anatomy, Canal, CanalId, Ear, Labyrinth, Region, Vec3, angle_between_rad,
};

fn mean_adult() -> Labyrinth {
    Labyrinth::build(&Anatomy::named("mean-adult").unwrap().unwrap()).unwrap()
}

fn angle_deg(labyrinth: &Labyrinth, ear: Ear, a: Canal, b: Canal) -> f64 {
    let n = |canal| labyrinth.canal(CanalId { ear, canal }).n_exc_in_reid;
    angle_between_rad(n(a), n(b)).to_degrees()
}

#[test]
fn inter_canal_angles_are_the_published_means() {
    // Abstract of the paper: 90.6 (6.2), 94.0 (4.0), 90.4 (4.9) degrees, n = 44; the pooled mean
    // vectors enclose 90.40, 93.95 and 90.35 degrees.
    let labyrinth = mean_adult();
    for ear in Ear::ALL {
        for (a, b, published, vectors) in [
            (Canal::Anterior, Canal::Lateral, 90.6, 90.40),
            (Canal::Anterior, Canal::Posterior, 94.0, 93.95),
            (Canal::Lateral, Canal::Posterior, 90.4, 90.35),
        ] {
            let ours = angle_deg(&labyrinth, ear, a, b);
            assert_abs_diff_eq!(ours, published, epsilon = 0.25);
            assert_abs_diff_eq!(ours, vectors, epsilon = 0.01);
        }
    }
}

#[test]
fn axes_align_after_the_published_head_tilts() {
    // Table 7 of the paper: 18.8 degrees nose-down and 2.2 ear-down level the lateral canal; the
    // anterior axis is horizontal after 16.7 nose-down, 38.0 behind the ear; the posterior one after
    // 21.3, 48.2 behind the other ear.
    let labyrinth = mean_adult();
    let n = |canal| {
        labyrinth
            .canal(CanalId {
                ear: Ear::Left,
                canal,
            })
            .n_exc_in_reid
    };
    let nose_down = |deg: f64, v: Vec3| {
        nalgebra::Rotation3::from_axis_angle(&Vec3::y_axis(), deg.to_radians()) * v
    };
    let lateral = n(Canal::Lateral);
    assert_abs_diff_eq!(
        (-lateral.x).atan2(lateral.z).to_degrees(),
        18.8,
        epsilon = 0.1
    );
    let levelled = nose_down(18.84, lateral);
    assert_abs_diff_eq!(
        levelled.y.atan2(levelled.z).abs().to_degrees(),
        2.2,
        epsilon = 0.05
    );
    let anterior = nose_down(16.7, n(Canal::Anterior));
    assert_abs_diff_eq!(anterior.z, 0.0, epsilon = 5e-4);
    assert_abs_diff_eq!(
        (-anterior.x).atan2(anterior.y).to_degrees(),
        38.0,
        epsilon = 0.1
    );
    let posterior = nose_down(21.3, n(Canal::Posterior));
    assert_abs_diff_eq!(posterior.z, 0.0, epsilon = 5e-4);
    assert_abs_diff_eq!(
        (-posterior.x).atan2(-posterior.y).to_degrees(),
        48.2,
        epsilon = 0.1
    );
}

#[test]
fn fitted_planes_return_the_published_normals() {
    let labyrinth = mean_adult();
    for id in CanalId::ALL {
        let measures = labyrinth.ear(id.ear).measures(id.canal);
        let n = labyrinth.canal(id).n_exc_in_reid;
        let off_deg = angle_between_rad(measures.fitted_normal_in_reid, n).to_degrees();
        assert!(off_deg < 1e-5, "{}: {off_deg} deg", id.name());
        let off_mm = measures.plane_fit_residual_mm;
        assert!(off_mm < 1e-5, "{}: {off_mm} mm", id.name());
    }
}

#[test]
fn rotation_about_an_exciting_axis_circulates_the_published_way() {
    // Ewald; head rotation about n_exc leaves the fluid behind, which must run ampullofugally in the
    // vertical canals and ampullopetally in the lateral one: sign of (r × t)·n_exc is −1, −1, +1.
    let labyrinth = mean_adult();
    for id in CanalId::ALL {
        let shape = labyrinth.canal(id);
        let sign = -id.canal.excited_by_ampullofugal();
        for share in [0.2, 0.5, 0.7] {
            let (p, t, _) = labyrinth
                .ear(id.ear)
                .tube(id.canal)
                .at(share * shape.landmarks.duct_end_mm);
            let r = p - shape.landmarks.arc_centre_in_reid_mm;
            assert_eq!(
                r.cross(&t).dot(&shape.n_exc_in_reid).signum(),
                sign,
                "{}",
                id.name()
            );
        }
        assert_eq!(
            shape
                .area_vector_in_reid_mm2
                .dot(&shape.n_exc_in_reid)
                .signum(),
            sign
        );
    }
}

#[test]
fn lengths_and_distances_follow_from_the_construction() {
    // Worked out separately from the same recipe, to 0.02 mm.
    let labyrinth = mean_adult();
    let ear = labyrinth.ear(Ear::Left);
    let marks = |canal: Canal| ear.canal(canal).landmarks;
    assert_abs_diff_eq!(marks(Canal::Anterior).duct_end_mm, 11.62, epsilon = 0.02);
    assert_abs_diff_eq!(marks(Canal::Posterior).duct_end_mm, 13.80, epsilon = 0.02);
    assert_abs_diff_eq!(marks(Canal::Lateral).duct_end_mm, 10.93, epsilon = 0.02);
    let crus = marks(Canal::Anterior).opening_mm - marks(Canal::Anterior).duct_end_mm;
    assert_abs_diff_eq!(crus, 2.37, epsilon = 0.02);
    let centre =
        |canal: Canal| ear.canal(canal).cupula.centre_in_reid_mm - ear.utricle.centre_in_reid_mm;
    for (canal, x, y, z) in [
        (Canal::Anterior, 2.405, 2.157, 2.216),
        (Canal::Posterior, -0.840, -1.349, -3.036),
        (Canal::Lateral, 1.483, 2.635, 0.719),
    ] {
        assert_abs_diff_eq!(centre(canal), Vec3::new(x, y, z), epsilon = 0.02);
    }
    let gap = |a, b| (centre(a) - centre(b)).norm();
    assert_abs_diff_eq!(gap(Canal::Anterior, Canal::Lateral), 1.82, epsilon = 0.02);
    assert_abs_diff_eq!(gap(Canal::Anterior, Canal::Posterior), 7.10, epsilon = 0.02);
    assert_abs_diff_eq!(gap(Canal::Lateral, Canal::Posterior), 5.95, epsilon = 0.02);
    assert_abs_diff_eq!(ear.utricle.volume_mm3(), 16.9, epsilon = 0.05);
}

#[test]
fn upright_debris_of_the_posterior_canal_rests_where_the_recipe_says() {
    // 2.62 mm from the cupula with Reid's plane 7 degrees nose-up: the lowest point of the arc.
    let labyrinth = mean_adult();
    let down =
        lithodrome_labyrinth::frame::head_from_reid(7f64.to_radians()).inverse() * -Vec3::z();
    let tube = labyrinth.ear(Ear::Left).tube(Canal::Posterior);
    let lowest = (0..600)
        .map(|i| f64::from(i) * 0.01)
        .max_by(|a, b| {
            tube.at(*a)
                .0
                .dot(&down)
                .total_cmp(&tube.at(*b).0.dot(&down))
        })
        .unwrap();
    assert_abs_diff_eq!(lowest, 2.62, epsilon = 0.02);
}

#[test]
fn wall_is_a_distance_with_its_gradient() {
    let labyrinth = mean_adult();
    for ear in Ear::ALL {
        let shape = labyrinth.ear(ear);
        for canal in Canal::ALL {
            let tube = shape.tube(canal);
            let end = shape
                .canal(canal)
                .landmarks
                .opening_mm
                .min(tube.range_mm().1);
            for i in 1..60 {
                let s = f64::from(i) / 60.0 * end;
                let (p, t, radius) = tube.at(s);
                let side = t.cross(&Vec3::new(0.3, 0.5, -0.7)).normalize();
                let q = p + side * (radius - 0.025);
                let mut hint = shape.find(q);
                let w = shape.wall(q, &mut hint);
                // A step of the depth along the normal reaches the wall to 3 µm (first test), and the
                // normal agrees with finite differences.
                let mut h = hint;
                let on_wall = shape
                    .wall(q - w.inward * (w.depth_mm / w.steepness), &mut h)
                    .depth_mm;
                // outside the rounded edges.
                if w.steepness > 0.99 && w.depth_mm < 0.026 {
                    assert!(on_wall.abs() < 3e-3, "{} {s:.2}: {on_wall}", canal.name());
                }
                let e = 1e-5;
                let slope = Vec3::from_fn(|k, _| {
                    let step = Vec3::ith(k, e);
                    (shape.wall(q + step, &mut h).depth_mm - shape.wall(q - step, &mut h).depth_mm)
                        / (2.0 * e)
                });
                let off = angle_between_rad(slope, w.inward).to_degrees();
                assert!(
                    off < 6.0,
                    "{} at {s:.2}: normal off by {off:.2} deg",
                    canal.name()
                );
            }
        }
    }
}

#[test]
fn the_right_ear_is_the_exact_mirror_image() {
    use lithodrome_labyrinth::frame::mirror_point;
    let labyrinth = mean_adult();
    let [right, left] = &labyrinth.ears;
    let tube = left.tube(Canal::Posterior);
    for i in 0..140 {
        let p = tube.at(f64::from(i) * 0.1).0 + Vec3::new(0.02, -0.03, 0.05);
        let (mut hl, mut hr) = (left.find(p), right.find(mirror_point(p)));
        let (l, r) = (left.wall(p, &mut hl), right.wall(mirror_point(p), &mut hr));
        assert_abs_diff_eq!(l.depth_mm, r.depth_mm, epsilon = 1e-13);
        assert_abs_diff_eq!(mirror_point(l.inward), r.inward, epsilon = 1e-12);
        assert_eq!(l.region, r.region);
    }
}

#[test]
fn the_three_ducts_lead_into_the_utricle() {
    let labyrinth = mean_adult();
    let ear = labyrinth.ear(Ear::Right);
    for (canal, s, region) in [
        (Canal::Anterior, 5.0, Region::Duct(Canal::Anterior)),
        (Canal::Anterior, 12.8, Region::CommonCrus),
        (Canal::Posterior, -0.4, Region::ShortArm(Canal::Posterior)),
        (Canal::Lateral, 3.0, Region::Duct(Canal::Lateral)),
    ] {
        let p = ear.tube(canal).at(s).0;
        assert_eq!(
            ear.wall(p, &mut ear.find(p)).region,
            region,
            "{canal:?} {s}"
        );
    }
    let c = ear.utricle.centre_in_reid_mm;
    assert_eq!(ear.wall(c, &mut ear.find(c)).region, Region::Utricle);
    // Walking the crus from its top to the utricle never meets the wall.
    let marks = ear.canal(Canal::Anterior).landmarks;
    let mut hint = ear.find(ear.tube(Canal::Anterior).at(marks.duct_end_mm).0);
    let mut s = marks.duct_end_mm;
    while s < marks.opening_mm {
        let w = ear.wall(ear.tube(Canal::Anterior).at(s).0, &mut hint);
        assert!(w.depth_mm > 0.1, "{s}: {}", w.depth_mm);
        s += 0.01;
    }
}

#[test]
fn the_drawn_surface_is_closed_and_lies_on_the_wall() {
    let labyrinth = mean_adult();
    let ear = labyrinth.ear(Ear::Right);
    let surface = ear.surface();
    let (mut worst, mut worst_facet, mut beyond) = (0.0_f64, 0.0_f64, 0);
    for p in &surface.positions_mm {
        let p = Vec3::from_fn(|k, _| f64::from(p[k]));
        worst = worst.max(ear.wall(p, &mut ear.find(p)).depth_mm.abs());
    }
    for t in &surface.triangles {
        let corner = |i: u32| Vec3::from(surface.positions_mm[i as usize].map(f64::from));
        let middle = t.iter().map(|i| corner(*i)).sum::<Vec3>() / 3.0;
        let off_mm = ear.wall(middle, &mut ear.find(middle)).depth_mm.abs();
        beyond += usize::from(off_mm > 3e-3);
        worst_facet = worst_facet.max(off_mm);
    }
    println!(
        "{} triangles: vertices within {worst} mm, middles within {worst_facet} mm, {beyond} beyond 3 µm",
        surface.triangles.len()
    );
    assert!(worst < 3e-3, "{worst} mm from the wall");
    assert!(worst_facet < 3e-3, "{worst_facet} mm from the wall");
    // Every edge has two faces; a grid net may fold a few at creases.
    let mut edges = std::collections::BTreeMap::new();
    for t in &surface.triangles {
        for (a, b) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
            *edges.entry((a.min(b), a.max(b))).or_insert(0) += 1;
        }
    }
    assert_eq!(edges.values().filter(|n| **n == 1).count(), 0, "open edges");
    // Three loops: Euler's number of the closed surface is 2 − 2·3 = −4.
    let euler =
        surface.positions_mm.len() as i64 - edges.len() as i64 + surface.triangles.len() as i64;
    assert_eq!(euler, -4);
    assert!(
        surface.triangles.len() < 120_000,
        "{}",
        surface.triangles.len()
    );
}
