//! The rigid engine by itself: speeds from formulas, contacts that hold, rest that stays rest.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use lithodrome_debris::drag::{along_plane, toward_plane};
use lithodrome_debris::{
    DebrisGroup, Engine, Model, OTOCONIA_DENSITY_MG_MM3, Physics, Rolling, Run, Start, Track,
    simulate, stokes_speed_mm_s,
};
use lithodrome_labyrinth::{Canal, Ear, EarShape, Vec3};
use scene::{debris, epley, labyrinth, motion, out_of_canal, resisting, run};

/// Where a body is at a sample.
fn at(track: &Track, sample: usize) -> Vec3 {
    Vec3::from(track.position_in_reid_mm[sample].map(f64::from))
}

/// The deepest that any body is in a wall or another body at any sample, in its own radii.
fn deepest(run: &Run) -> f64 {
    let lab = labyrinth();
    let rest = |t: &Track| t.diameter_um / 2000.0 * (1.0 + Rolling::default().gap);
    let mut deepest: f64 = 0.0;
    for i in 0..run.time_s.len() {
        for (k, track) in run.tracks.iter().enumerate() {
            let ear = lab.ear(track.ear);
            let here = at(track, i);
            let wall = ear.wall(here, &mut ear.find(here));
            let mut lack = (rest(track) - wall.depth_mm) / wall.steepness.max(0.3);
            for other in &run.tracks[..k] {
                // The smaller body's share of an overlap is the worst case.
                lack = lack.max(rest(track) + rest(other) - (here - at(other, i)).norm());
            }
            deepest = deepest.max(lack / (track.diameter_um / 2000.0));
        }
    }
    deepest
}

/// Stokes: (2/9) Δρ g a² / μ, slowed by a distant plane wall as Faxén (along it) and Bevan & Prieve 2000
/// (toward it) have it; far from every wall that is Stokes' speed itself.
#[test]
fn grains_fall_through_the_utricle_at_stokes_speed() {
    let lab = labyrinth();
    let ear = lab.ear(Ear::Right);
    for diameter_um in [5.0, 10.0, 20.0, 50.0, 120.0] {
        // Placed at the bottom of a head that is upside down, it falls from the top.
        let stand = motion(
            (0.0, 0.0),
            &[(0.0, 0.0, 1.0, 1.0 + 2000.0 / (diameter_um * diameter_um))],
        );
        let upside_down = motion((0.0, 180.0), &[(0.0, 180.0, 1.0, 1.0)]);
        let group = DebrisGroup {
            start: Start::Utricle,
            ..debris(Ear::Right, 1, diameter_um)
        };
        let physics = Physics::default();
        let model = Model::new(labyrinth(), &[group], physics, &upside_down.at(0.0)).unwrap();
        let mut go_on = |_| std::ops::ControlFlow::Continue(());
        let run = simulate(&model, &stand, Engine::Rigid, &mut go_on).unwrap();
        let track = &run.tracks[0];
        let radius = diameter_um / 2000.0;
        let stokes = stokes_speed_mm_s(radius, OTOCONIA_DENSITY_MG_MM3, &physics);
        let gap = |i: usize| ear.wall(at(track, i), &mut ear.find(at(track, i))).depth_mm / radius;
        let way = at(track, 1) - at(track, 0);
        // From a gap of one radius on, the law is that of a distant plane.
        let last = (0..run.time_s.len())
            .take_while(|i| gap(*i) > 2.5)
            .last()
            .unwrap();
        let fallen = (at(track, last) - at(track, 0)).norm();
        let expected = fall(
            ear,
            at(track, 0),
            way.normalize() * stokes,
            radius,
            run.time_s[last],
        );
        println!(
            "{diameter_um} µm: fell {fallen:.4} mm, law {:.4} mm",
            expected.norm()
        );
        assert!(
            (fallen / expected.norm() - 1.0).abs() < 0.01,
            "{diameter_um} µm"
        );
        if diameter_um <= 10.0 {
            let far: Vec<usize> = (0..last).filter(|i| gap(*i) > 50.0).collect();
            let (from, to) = (far[0], far[far.len() - 1]);
            let speed =
                (at(track, to) - at(track, from)).norm() / (run.time_s[to] - run.time_s[from]);
            println!(
                "{diameter_um} µm: {speed:.5} mm/s more than 50 radii from walls, Stokes {stokes:.5}"
            );
            assert!((speed / stokes - 1.0).abs() < 0.015, "{diameter_um} µm");
        }
    }
}

/// The way of a sphere that wants `stokes` and is slowed by the nearest wall, by Euler's rule.
fn fall(ear: &EarShape, from: Vec3, stokes: Vec3, radius: f64, time_s: f64) -> Vec3 {
    let steps = 20_000;
    let (mut here, mut hint) = (from, ear.find(from));
    for _ in 0..steps {
        let wall = ear.wall(here, &mut hint);
        let delta = wall.depth_mm / radius - 1.0;
        let into = wall.inward * stokes.dot(&wall.inward);
        let v = (stokes - into) * along_plane(delta) + into * toward_plane(delta);
        here += v * (time_s / f64::from(steps));
    }
    here - from
}

/// A body is never deeper than a twentieth of its radius in a wall or another body, nor outside the lumen.
#[test]
fn nothing_sinks_into_walls_or_neighbours() {
    for (count, diameter_um) in [
        (1, 5.0),
        (4, 10.0),
        (8, 20.0),
        (8, 50.0),
        (3, 90.0),
        (1, 120.0),
    ] {
        let group = [debris(Ear::Right, count, diameter_um)];
        let run = run(
            &group,
            Physics::default(),
            &epley(Ear::Right, 30.0),
            Engine::Rigid,
        );
        let deepest = deepest(&run);
        println!(
            "{count} of {diameter_um} µm: deepest {deepest:.4} radii, {:?}",
            run.warnings
        );
        assert!(run.warnings.is_empty(), "{:?}", run.warnings);
        assert!(
            deepest < 0.05,
            "{count} of {diameter_um} µm: {deepest} radii"
        );
    }
}

/// Debris at rest stays: no contact gives energy.
#[test]
fn a_resting_pile_does_not_creep() {
    let stand = motion((0.0, 0.0), &[(0.0, 0.0, 1.0, 180.0)]);
    for count in [1, 8] {
        let group = [debris(Ear::Right, count, 50.0)];
        let run = run(&group, Physics::default(), &stand, Engine::Rigid);
        let from = run.time_s.partition_point(|t| *t < 120.0);
        let last = run.time_s.len() - 1;
        for track in &run.tracks {
            let crept = (from..=last)
                .map(|i| (at(track, i) - at(track, from)).norm())
                .fold(0.0, f64::max);
            println!("{count}: crept {:.3} µm in 60 s", crept * 1e3);
            assert!(crept < 1e-3, "{crept} mm");
        }
    }
}

/// A fast body behind a slow one: V = (F1 + F2) / (ζ1 + ζ2) with F = ζ v, by balance of forces.
///
/// Only on a gentle slope: where the push is more than the tube's bottom holds, the small grain is
/// squeezed aside and the big one passes.
#[test]
fn a_big_grain_pushes_a_small_one() {
    let physics = Physics {
        entrainment: false,
        ..Physics::default()
    };
    let hang = motion((45.0, 120.0), &[(45.0, 120.0, 1.0, 20.0)]);
    let kind = |mm: f64, diameter_um: f64| DebrisGroup {
        start: Start::Arc { mm },
        ..debris(Ear::Right, 1, diameter_um)
    };
    let (big, small) = (50.0, 40.0);
    let alone =
        [kind(6.8, big), kind(6.8, small)].map(|g| run(&[g], physics, &hang, Engine::Rigid));
    let both = run(
        &[kind(6.8, big), kind(6.86, small)],
        physics,
        &hang,
        Engine::Rigid,
    );
    for place in [7.2, 7.5, 7.8] {
        let (mm1, v1) = speed_at(&both, 0, place);
        let ahead = both.tracks[0]
            .course_mm
            .partition_point(|c| f64::from(*c) < mm1);
        let (mm2, v2) = speed_at(&both, 1, f64::from(both.tracks[1].course_mm[ahead]));
        let (own1, own2) = (speed_at(&alone[0], 0, mm1).1, speed_at(&alone[1], 0, mm2).1);
        let law = (big * own1 + small * own2) / (big + small);
        println!(
            "at {mm1:.2} {mm2:.2} mm: {v1:.5} {v2:.5} mm/s, alone {own1:.5} {own2:.5}, law {law:.5}"
        );
        assert!((v1 / law - 1.0).abs() < 0.01 && (v2 / law - 1.0).abs() < 0.01);
    }
}

/// Place and mean speed over 0.4 s of a body about where it first passes `mm` of its course.
fn speed_at(run: &Run, body: usize, mm: f64) -> (f64, f64) {
    let course = &run.tracks[body].course_mm;
    let i = course.partition_point(|c| f64::from(*c) < mm);
    let way = f64::from(course[i + 4] - course[i - 4]);
    (
        f64::from(course[i]),
        way / (run.time_s[i + 4] - run.time_s[i - 4]),
    )
}

/// Bodies that start at one place part and come to rest without being thrown anywhere.
#[test]
fn a_heap_at_one_place_resolves() {
    let stand = motion((0.0, 0.0), &[(0.0, 0.0, 1.0, 30.0)]);
    let start = |start: Start, count: u32, diameter_um: f64| DebrisGroup {
        start,
        ..debris(Ear::Right, count, diameter_um)
    };
    let heaps = [
        vec![start(Start::Utricle, 1, 40.0); 12],
        vec![start(Start::Arc { mm: 4.0 }, 1, 40.0); 12],
        vec![
            start(Start::ShortArm, 5, 40.0),
            start(Start::ShortArm, 5, 60.0),
        ],
        // In contact with the cupula, where being thrown would mean passing it.
        vec![start(Start::Arc { mm: 0.24 }, 1, 60.0); 8],
    ];
    for (number, groups) in heaps.iter().enumerate() {
        let run = run(groups, Physics::default(), &stand, Engine::Rigid);
        assert!(run.warnings.is_empty(), "{:?}", run.warnings);
        let mut late = run.clone();
        let from = late.time_s.partition_point(|t| *t < 5.0);
        late.time_s.drain(..from);
        for track in &mut late.tracks {
            track.position_in_reid_mm.drain(..from);
        }
        let deepest = deepest(&late);
        let farthest = run
            .tracks
            .iter()
            .map(|t| (at(t, 20) - at(t, 0)).norm())
            .fold(0.0, f64::max);
        println!(
            "heap {number}: {farthest:.3} mm in the first second, deepest after 5 s {deepest:.4} radii"
        );
        // 12 bodies of 40 µm in a row are 0.48 mm; falling for a second adds 1.5 mm at Stokes' speed.
        assert!(farthest < 2.0, "heap {number}: {farthest} mm");
        assert!(deepest < 0.05, "heap {number}: {deepest} radii");
        if number == 3 {
            assert!(
                run.tracks
                    .iter()
                    .all(|t| *t.course_mm.last().unwrap() > 0.2)
            );
        }
    }
}

/// With friction above the slope's tangent debris does not move; Coulomb.
#[test]
fn strong_friction_holds_debris() {
    let tilt = motion((0.0, 0.0), &[(0.0, 0.0, 1.0, 20.0)]);
    let group = DebrisGroup {
        start: Start::Arc { mm: 4.0 },
        ..debris(Ear::Right, 1, 50.0)
    };
    let moved = [0.0, 3.0].map(|friction| {
        let physics = Physics {
            entrainment: false,
            ..Physics::default()
        };
        let run = run(&[resisting(group, friction)], physics, &tilt, Engine::Rigid);
        (at(&run.tracks[0], run.time_s.len() - 1) - at(&run.tracks[0], 20)).norm()
    });
    println!("moved {moved:?} mm");
    assert!(moved[0] > 0.1 && moved[1] < 1e-3, "{moved:?}");
}

/// The same input gives the same bits.
#[test]
fn a_run_repeats_to_the_last_bit() {
    let motion = epley(Ear::Right, 10.0);
    let twice = [0, 1].map(|_| {
        run(
            &[debris(Ear::Right, 8, 50.0)],
            Physics::default(),
            &motion,
            Engine::Rigid,
        )
    });
    let bits = |run: &Run| -> Vec<[u32; 3]> {
        run.tracks
            .iter()
            .flat_map(|t| t.position_in_reid_mm.iter().map(|p| p.map(f32::to_bits)))
            .collect()
    };
    assert_eq!(bits(&twice[0]), bits(&twice[1]));
    assert_eq!(twice[0].work, twice[1].work);
}

/// Debris on a cupula bends it and stays there; debris of the other ear does not care.
#[test]
fn fixed_debris_stays_and_both_ears_run_together() {
    let on_cupula = DebrisGroup {
        start: Start::OnCupula {
            face: lithodrome_debris::CupulaFace::Canal,
        },
        ..debris(Ear::Left, 3, 30.0)
    };
    let motion = epley(Ear::Right, 30.0);
    let free = debris(Ear::Right, 1, 50.0);
    let both = run(
        &[on_cupula, free],
        Physics::default(),
        &motion,
        Engine::Rigid,
    );
    let alone = run(&[free], Physics::default(), &motion, Engine::Rigid);
    let last = both.time_s.len() - 1;
    for track in &both.tracks[..3] {
        assert_eq!(at(track, 0), at(track, last));
    }
    assert!(out_of_canal(&both.tracks[3]));
    let off = (both.tracks[3].exit_s.unwrap() - alone.tracks[0].exit_s.unwrap()).abs();
    assert!(off < 0.01, "{off} s");
    let canal = lithodrome_labyrinth::CanalId {
        ear: Ear::Left,
        canal: Canal::Posterior,
    }
    .index();
    assert!(
        both.debris_signal_rad_s[canal]
            .iter()
            .any(|s| s.abs() > 1e-3)
    );
}
