//! Bodies that are not balls.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use lithodrome_debris::{DebrisGroup, Engine, Matter, Physics, Shape, Start};
use lithodrome_labyrinth::{Ear, Vec3};
use scene::{debris, epley, labyrinth, motion, out_of_canal, run};

const SHAPES: [Shape; 2] = [Shape::Rod { aspect: 2.5 }, Shape::Disc { aspect: 2.0 }];

/// Volume of the hull by counting points of a fine grid (a rod's balls leave grooves, so within 5 %).
#[test]
fn the_hull_of_a_rod_has_the_volume_of_its_ball() {
    let shape = Shape::Rod { aspect: 2.5 };
    let half = shape.half_width();
    let hull = shape.hull();
    let n = 120;
    let step = 4.0 / f64::from(n);
    let inside = |x: f64, y: f64, z: f64| {
        hull.iter().any(|c| {
            let d = [x - c[0] * half, y - c[1] * half, z - c[2] * half];
            d.iter().map(|v| v * v).sum::<f64>() <= half * half
        })
    };
    let mut count = 0.0;
    for i in 0..n {
        for j in 0..n {
            for k in 0..n {
                let at = |m: i32| (f64::from(m) + 0.5) * step - 2.0;
                if inside(at(i), at(j), at(k)) {
                    count += 1.0;
                }
            }
        }
    }
    let volume = count * step.powi(3) / (4.0 / 3.0 * std::f64::consts::PI);
    println!("hull over ball {volume:.3}");
    assert!((0.93..1.01).contains(&volume), "{volume}");
}

/// Perrin 1936: spheroids of aspect 2 have 1.044 (long) and 1.042 (flat) times the drag of their ball.
#[test]
fn drag_of_shapes_is_perrins() {
    assert!((Shape::Rod { aspect: 2.0 }.drag_factor() - 1.044).abs() < 1e-3);
    assert!((Shape::Disc { aspect: 2.0 }.drag_factor() - 1.042).abs() < 1e-3);
    assert!((Shape::Ball.drag_factor() - 1.0).abs() < 1e-15);
}

/// At rest a rod or a disc lies flat: its centre is half its thickness from the wall, nearer than a
/// ball's, whichever way it began.
#[test]
fn rods_and_discs_lie_flat() {
    let stand = motion((0.0, 0.0), &[(0.0, 0.0, 1.0, 60.0)]);
    for shape in SHAPES {
        let group = DebrisGroup {
            start: Start::Arc { mm: 4.0 },
            matter: Matter {
                shape,
                ..Matter::default()
            },
            ..debris(Ear::Right, 1, 50.0)
        };
        let run = run(&[group], Physics::default(), &stand, Engine::Rigid);
        let end = Vec3::from(
            run.tracks[0]
                .position_in_reid_mm
                .last()
                .unwrap()
                .map(f64::from),
        );
        let lab = labyrinth();
        let ear = lab.ear(Ear::Right);
        let depth_mm = ear.wall(end, &mut ear.find(end)).depth_mm;
        let flat_mm = 0.025 * shape.half_width() * 1.01;
        println!("{shape:?}: {depth_mm:.5} mm from the wall, flat {flat_mm:.5}");
        // A straight rod in a bent duct stands off by its length² / 8R, 1 µm.
        assert!((depth_mm - flat_mm).abs() < 0.002, "{shape:?}: {depth_mm}");
        assert!(run.warnings.is_empty(), "{:?}", run.warnings);
    }
}

/// Two rods that start overlapping end to end part to their length, which is 1.7 diameters of their ball.
#[test]
fn rods_keep_the_distance_of_their_length() {
    let stand = motion((0.0, 0.0), &[(0.0, 0.0, 1.0, 20.0)]);
    let shape = SHAPES[0];
    let group = DebrisGroup {
        start: Start::Arc { mm: 4.0 },
        matter: Matter {
            shape,
            ..Matter::default()
        },
        ..debris(Ear::Right, 2, 50.0)
    };
    let run = run(&[group], Physics::default(), &stand, Engine::Rigid);
    let [a, b] = [0, 1].map(|k| {
        let at = run.tracks[k].position_in_reid_mm.last().unwrap();
        Vec3::from(at.map(f64::from))
    });
    let length_mm = 2.5 * 0.05 * shape.half_width();
    println!("{:.4} mm apart, length {length_mm:.4} mm", (a - b).norm());
    assert!((a - b).norm() > 0.95 * length_mm);
}

/// An Epley clears rods and discs as it clears balls, in both engines.
#[test]
fn shapes_leave_the_canal_as_balls_do() {
    let motion = epley(Ear::Right, 30.0);
    for shape in SHAPES {
        let group = DebrisGroup {
            matter: Matter {
                shape,
                ..Matter::default()
            },
            ..debris(Ear::Right, 3, 60.0)
        };
        for engine in [Engine::Settling, Engine::Rigid] {
            let run = run(&[group], Physics::default(), &motion, engine);
            println!("{shape:?} {engine:?}: {:?}", run.tracks[0].exit_s);
            assert!(run.tracks.iter().all(out_of_canal));
            assert!(run.warnings.is_empty(), "{:?}", run.warnings);
        }
    }
}
