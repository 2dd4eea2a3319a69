//! Many bodies at one start: side by side, then in layers, never on one point nor in a wall.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use lithodrome_debris::{DebrisGroup, Engine, Model, ModelError, Physics, Rolling, Start};
use lithodrome_labyrinth::{Ear, Vec3};
use scene::{debris, labyrinth, motion, run};

fn group(start: Start, count: u32, diameter_um: f64) -> DebrisGroup {
    DebrisGroup {
        start,
        ..debris(Ear::Right, count, diameter_um)
    }
}

/// 200 bodies, the most a scenario may have: at the start no two are closer than they touch and none is
/// nearer to a wall than it rests; after a second in the rigid engine none is outside by more than 2 µm.
#[test]
fn two_hundred_bodies_start_apart_and_inside() {
    let stand = motion((0.0, 0.0), &[(0.0, 0.0, 1.0, 0.5)]);
    let rest = |um: f64| um / 2000.0 * (1.0 + Rolling::default().gap);
    for (start, diameter_um) in [
        (Start::AmpullaryArm, 50.0),
        (Start::AmpullaryArm, 80.0),
        (Start::NonAmpullaryArm, 80.0),
        (Start::ShortArm, 50.0),
        (Start::Utricle, 50.0),
    ] {
        let group = [group(start, 200, diameter_um)];
        let run = run(&group, Physics::default(), &stand, Engine::Rigid);
        let at: Vec<Vec3> = run
            .tracks
            .iter()
            .map(|t| Vec3::from(t.position_in_reid_mm[0].map(f64::from)))
            .collect();
        let lab = labyrinth();
        let ear = lab.ear(Ear::Right);
        let (mut nearest, mut shallowest) = (f64::INFINITY, f64::INFINITY);
        for (i, a) in at.iter().enumerate() {
            let depth = ear.wall(*a, &mut ear.find(*a)).depth_mm;
            shallowest = shallowest.min(depth / rest(diameter_um));
            for b in &at[..i] {
                nearest = nearest.min((a - b).norm() / (2.0 * rest(diameter_um)));
            }
        }
        println!("{start:?} {diameter_um} µm: nearest {nearest:.4}, shallowest {shallowest:.4}");
        // A row along a bent wall is closer on its inner side by the bend: 160 µm of 3.1 mm.
        let row = start == Start::AmpullaryArm && diameter_um < 60.0;
        assert!(
            nearest > if row { 0.95 } else { 0.999 },
            "{start:?}: {nearest}"
        );
        assert!(shallowest > 0.999, "{start:?}: {shallowest}");
        assert!(run.warnings.is_empty(), "{start:?}: {:?}", run.warnings);
    }
}

/// What does not fit is told with what would.
#[test]
fn too_many_bodies_are_refused() {
    let start = motion((0.0, 0.0), &[(0.0, 0.0, 1.0, 0.5)]).at(0.0);
    let group = [group(Start::ShortArm, 200, 250.0)];
    let error = Model::new(labyrinth(), &group, Physics::default(), &start).unwrap_err();
    println!("{error}");
    assert!(matches!(error, ModelError::Full { group: 1, found: 200, allowed } if allowed > 0));
}
