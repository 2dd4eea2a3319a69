//! A labyrinth from a centre-line table: the same ear as exported, and refusals with the place.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

use std::fmt::Write;

use approx::assert_abs_diff_eq;
use lithodrome_labyrinth::{
    Anatomy, AnatomyError, Canal, Ear, EarShape, Labyrinth, Vec3, angle_between_rad,
};

const EXAMPLE: &str = include_str!("../../../assets/anatomies/example-centre-lines.csv");

fn mean_adult() -> Labyrinth {
    Labyrinth::build(&Anatomy::named("mean-adult").unwrap().unwrap()).unwrap()
}

fn import(text: &str) -> Result<Labyrinth, AnatomyError> {
    Labyrinth::from_centre_lines("own", text)
}

/// Normals, lengths, marks and wall of an imported ear against the one it was exported from.
fn assert_same(own: &EarShape, mean: &EarShape, wall_mm: f64) {
    for canal in Canal::ALL {
        let (a, b) = (own.canal(canal), mean.canal(canal));
        let off = angle_between_rad(a.n_exc_in_reid, b.n_exc_in_reid).to_degrees();
        assert!(off < 0.01, "{canal:?}: {off} deg");
        let load = angle_between_rad(a.cupula.load_axis_in_reid, b.cupula.load_axis_in_reid);
        assert!(load.to_degrees() < 0.01, "{canal:?}: {load} rad");
        assert_abs_diff_eq!(
            a.cupula.centre_in_reid_mm,
            b.cupula.centre_in_reid_mm,
            epsilon = 2e-3
        );
        let (m, n) = (a.landmarks, b.landmarks);
        for (x, y) in [
            (m.port_mm, n.port_mm),
            (m.duct_end_mm, n.duct_end_mm),
            (m.opening_mm, n.opening_mm),
        ] {
            assert_abs_diff_eq!(x, y, epsilon = 0.01);
        }
        let area = a.area_vector_in_reid_mm2 - b.area_vector_in_reid_mm2;
        assert!(area.norm() < 0.01, "{canal:?}: {area}");
        // The wall, a little inside it all around the course.
        for i in 0..140 {
            let s = n.port_mm + (n.opening_mm - n.port_mm) * f64::from(i) / 139.0;
            let tube = mean.tube(canal);
            if s > tube.range_mm().1 || (s.abs() < 0.01) {
                continue;
            }
            let (p, t, radius) = tube.at(s);
            for side in [Vec3::new(0.3, 0.5, -0.7), Vec3::new(-0.6, 0.7, 0.2)] {
                let q = p + t.cross(&side).normalize() * (radius - 0.02);
                let depth = |ear: &EarShape| ear.wall(q, &mut ear.find(q)).depth_mm;
                assert_abs_diff_eq!(depth(own), depth(mean), epsilon = wall_mm);
            }
        }
    }
    assert_abs_diff_eq!(own.merge_mm, mean.merge_mm, epsilon = 0.01);
}

#[test]
fn an_exported_ear_comes_back_the_same() {
    let mean = mean_adult();
    for ear in Ear::ALL {
        let own = import(&mean.ear(ear).centre_lines_csv(0.1)).unwrap();
        for side in Ear::ALL {
            assert_same(own.ear(side), mean.ear(side), 3e-3);
        }
    }
}

#[test]
fn the_example_is_the_mean_adult_with_coarser_rows() {
    assert_eq!(EXAMPLE, mean_adult().ear(Ear::Left).centre_lines_csv(0.2));
    let own = import(EXAMPLE).unwrap();
    assert_same(own.ear(Ear::Left), mean_adult().ear(Ear::Left), 6e-3);
}

#[test]
fn every_shipped_anatomy_survives_the_way_through_a_table() {
    for name in Anatomy::names() {
        let anatomy = Anatomy::named(name).unwrap().unwrap();
        let shipped = Labyrinth::build(&anatomy).unwrap();
        // A table knows no planes; what leans out of one turns the plane that fits by less.
        let tilt = anatomy.crus.tilt_back_deg.as_ref();
        let leans_rad = tilt.map_or(0.0, |t| t.value.abs().to_radians());
        let left = shipped.ear(Ear::Left);
        let own = import(&left.centre_lines_csv(0.1)).unwrap();
        for canal in Canal::ALL {
            let shape = own.ear(Ear::Left).canal(canal);
            let n = left.canal(canal).n_exc_in_reid;
            let apart_rad = angle_between_rad(shape.n_exc_in_reid, n);
            assert!(apart_rad < 1e-4 + leans_rad, "{name} {apart_rad}");
        }
    }
}

#[test]
fn without_a_utricle_the_mean_adults_is_laid_between_the_openings() {
    let text: String = EXAMPLE
        .lines()
        .filter(|l| !l.starts_with("utricle"))
        .fold(String::new(), |text, l| text + l + "\n");
    let own = import(&text).unwrap();
    let (a, b) = (
        &own.ear(Ear::Left).utricle,
        &mean_adult().ear(Ear::Left).utricle.clone(),
    );
    assert_abs_diff_eq!(a.centre_in_reid_mm, b.centre_in_reid_mm, epsilon = 1e-3);
}

/// The example with its rows changed: of each the name, its place in its line from 1, and its numbers.
fn changed(change: impl Fn(&str, usize, &mut [f64; 4])) -> String {
    let mut text = String::from("canal,x,y,z,radius\n");
    let (mut last, mut count) = (String::new(), 0);
    for row in EXAMPLE.lines().skip(1) {
        let mut cells = row.split(',');
        let name = cells.next().unwrap();
        let mut numbers = [0.0; 4].map(|_: f64| cells.next().unwrap().parse().unwrap());
        count = if name == last { count + 1 } else { 1 };
        name.clone_into(&mut last);
        change(name, count, &mut numbers);
        let [x, y, z, r] = numbers;
        writeln!(text, "{name},{x},{y},{z},{r}").unwrap();
    }
    text
}

fn refused(text: &str) -> String {
    import(text).unwrap_err().to_string()
}

fn assert_starts(message: &str, start: &str) {
    assert!(message.starts_with(start), "{message}");
}

#[test]
fn rows_that_cannot_be_read_are_told_with_their_line() {
    assert_starts(&refused(""), "line 1: header: found nothing");
    assert_starts(
        &refused("a,b\n"),
        "line 1: header: found a,b, allowed is canal,x,y,z,radius",
    );
    assert_starts(&refused("canal,x,y,z,radius\n"), "line 1: found no rows");
    let with = |row: &str| EXAMPLE.replacen('\n', &format!("\n{row}\n"), 1);
    assert_starts(&refused(&with("anterior,1,2")), "line 2: found 3 columns");
    assert_starts(
        &refused(&with("superior,1,36,3,0.2")),
        "line 2: canal: found superior",
    );
    assert_starts(
        &refused(&with("anterior,1,36,up,0.2")),
        "line 2: z: found up",
    );
    assert_starts(
        &refused(&with("anterior,1,NaN,3,0.2")),
        "line 2: y: found NaN",
    );
    assert_starts(
        &refused(&with("anterior,1,36,3,-0.2")),
        "line 2: radius: found -0.2",
    );
    // Metres, or another origin: the ear would lie on both sides of the head.
    assert_starts(
        &refused(&with("anterior,1,-36,3,0.2")),
        "line 3: y: found 3",
    );
    assert_starts(
        &refused(&with("crus,1,36,3,0.2")),
        "line 215: rows of crus must stand together",
    );
}

#[test]
fn spacing_and_order_along_a_line_are_checked() {
    let gap = changed(|name, i, p| {
        if name == "lateral" && i >= 20 {
            p[0] += 3.0;
        }
    });
    let message = refused(&gap);
    assert!(
        message.contains("lateral point 20: spacing: found"),
        "{message}"
    );
    // Two rows swapped.
    let mut rows: Vec<&str> = EXAMPLE.lines().collect();
    rows.swap(20, 21);
    let message = refused(&rows.join("\n"));
    assert_starts(
        &message,
        "line 21, anterior point 20: order: found a turn of 178",
    );
    let thin = changed(|name, i, p| {
        if name == "crus" && i == 4 {
            p[3] = 0.01;
        }
    });
    let message = refused(&thin);
    assert!(
        message.contains("crus point 4: radius: found 0.01 mm"),
        "{message}"
    );
}

#[test]
fn a_line_from_the_wrong_end_is_refused() {
    let (mut rows, mut lateral): (Vec<&str>, Vec<&str>) = (Vec::new(), Vec::new());
    for row in EXAMPLE.lines() {
        if row.starts_with("lateral") {
            lateral.push(row);
        } else {
            rows.push(row);
        }
    }
    lateral.reverse();
    let message = refused(&[rows, lateral].concat().join("\n"));
    assert!(
        message.contains("order, the ampulla is at the end of the line"),
        "{message}"
    );
    let pipe = changed(|_, _, p| p[3] = 0.16);
    assert!(refused(&pipe).contains("anterior point 1: ampulla: found 0.160 mm"));
}

#[test]
fn lines_that_do_not_join_are_refused() {
    let apart = changed(|name, _, p| {
        if name == "crus" {
            p[0] += 0.8;
        }
    });
    let message = refused(&apart);
    assert!(
        message.contains("crus point 1: join: found 0.80 mm from the end of the anterior line"),
        "{message}"
    );
    let apart = changed(|name, _, p| {
        if name == "posterior" {
            p[0] -= 0.7;
        }
    });
    let message = refused(&apart);
    assert!(
        message.contains("posterior point") && message.contains("join: found"),
        "{message}"
    );
    let apart = changed(|name, _, p| {
        if name == "utricle" {
            p[2] -= 3.0;
        }
    });
    let message = refused(&apart);
    assert!(
        message.contains("join: found") && message.contains("utricle"),
        "{message}"
    );
    let missing: Vec<&str> = EXAMPLE.lines().filter(|l| !l.starts_with("crus")).collect();
    assert_starts(
        &refused(&missing.join("\n")),
        "line 1, crus point 1: points: found 0 points, allowed is 8 or more",
    );
}

#[test]
fn lines_that_touch_are_refused_with_the_nearest_row() {
    // An anterior ampulla wide enough to reach the lateral one beside it.
    let wide = changed(|name, i, p| {
        if name == "anterior" && i < 18 {
            p[3] *= 1.35;
        }
    });
    let message = refused(&wide);
    assert!(
        message.contains("contact: found 0.04") && message.contains("and lateral duct"),
        "{message}"
    );
    assert_starts(&message, "line 73, lateral point 3: ");
}

#[test]
fn sizes_and_planes_that_no_ear_has_are_refused() {
    // Half the size about the utricle: ducts of half the length.
    let half = changed(|_, _, p| {
        for (k, origin) in [0.0, 36.1, 6.0].into_iter().enumerate() {
            p[k] = origin + (p[k] - origin) * 0.45;
        }
        p[3] *= 0.45;
    });
    let message = refused(&half);
    assert!(
        message.contains("length: found") || message.contains("half axis"),
        "{message}"
    );
    // Another frame: forward and up exchanged.
    let turned = changed(|_, _, p| p.swap(0, 2));
    let message = refused(&turned);
    assert!(
        message.contains("anterior point 1: plane: found"),
        "{message}"
    );
    let skew = changed(|name, i, p| {
        if name == "utricle" && i == 3 {
            p[0] += 0.5;
        }
    });
    assert!(refused(&skew).contains("utricle point 3: half axis: found"));
}
