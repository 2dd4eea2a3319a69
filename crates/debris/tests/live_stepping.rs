//! A chair that is driven frame by frame moves debris as the same motion from a file does.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use std::sync::Arc;

use lithodrome_chair::HeadMotion;
use lithodrome_debris::{DebrisGroup, Engine, Live, Model, Physics, Run, Track};
use lithodrome_labyrinth::{Canal, CanalId, Ear, Region, Vec3};
use scene::{debris, epley, labyrinth, motion, run};

const FRAME_S: f64 = 1.0 / 60.0;

fn driven(groups: &[DebrisGroup], motion: &HeadMotion, engine: Engine) -> Live {
    let start = motion.at(0.0);
    let model = Model::new(labyrinth(), groups, Physics::default(), &start).unwrap();
    let mut live = Live::new(Arc::new(model), engine, &start);
    let frames = (motion.duration_s() / FRAME_S).round() as usize;
    for i in 1..=frames {
        let pose = motion.at(i as f64 * FRAME_S);
        live.advance(&pose, FRAME_S).unwrap();
    }
    live
}

fn at(track: &Track, sample: usize) -> Vec3 {
    Vec3::from(track.position_in_reid_mm[sample].map(f64::from))
}

/// The right posterior canal.
const CANAL: CanalId = CanalId {
    ear: Ear::Right,
    canal: Canal::Posterior,
};

/// The largest distance of two bodies, mm, less what a small difference of time explains; the largest difference of the
/// two signals of the posterior canal, rad/s.
fn apart(a: &Run, b: &Run, canal: usize) -> (f64, f64) {
    let n = a.time_s.len().min(b.time_s.len()) - 1;
    let crus_mm = labyrinth().canal(CANAL).landmarks.duct_end_mm;
    let (mut way, mut signal): (f64, f64) = (0.0, 0.0);
    for i in 1..n {
        assert!((a.time_s[i] - b.time_s[i]).abs() < 1e-9);
        for (p, q) in a.tracks.iter().zip(&b.tracks) {
            let speed = (at(p, i + 1) - at(p, i - 1)).norm() / (a.time_s[i + 1] - a.time_s[i - 1]);
            // 2 ms in a duct, 100 ms (as the two engines are allowed) where parts open into each other.
            let in_duct = matches!(p.place[i].region, Region::Duct(Canal::Posterior));
            let late_s = if in_duct && p.place[i].arc_mm < crus_mm - 1.0 {
                0.002
            } else {
                0.100
            };
            way = way.max((at(p, i) - at(q, i)).norm() - late_s * speed);
        }
        let off = |x: &[Vec<f64>; 6], y: &[Vec<f64>; 6]| (x[canal][i] - y[canal][i]).abs();
        signal = signal
            .max(off(&a.debris_signal_rad_s, &b.debris_signal_rad_s))
            .max(off(&a.rotation_signal_rad_s, &b.rotation_signal_rad_s));
    }
    (way, signal)
}

/// The same motion, given at once or frame by frame: what is left is the drive between two frames,
/// taken as even, and other steps of the engine. With
/// holds of 20 s instead, the grain stands on the edge between two canals when the chair moves on, and
/// comes down 0.1 mm apart.
#[test]
fn frames_do_as_the_motion_does() {
    let motion = epley(Ear::Right, 30.0);
    let group = [debris(Ear::Right, 1, 50.0)];
    for engine in [Engine::Settling, Engine::Rigid] {
        let planned = run(&group, Physics::default(), &motion, engine);
        let live = driven(&group, &motion, engine).finish();
        let canal = CANAL.index();
        let (way_mm, signal_rad_s) = apart(&planned, &live, canal);
        let peak = planned.rotation_signal_rad_s[canal]
            .iter()
            .fold(0.0_f64, |m, s| m.max(s.abs()));
        println!(
            "{engine:?}: {:.2} µm, {signal_rad_s:.5} rad/s of {peak:.3}",
            way_mm * 1e3
        );
        assert!(way_mm < 0.010, "{engine:?}: {way_mm} mm");
        assert!(
            signal_rad_s < 0.01 * peak,
            "{engine:?}: {signal_rad_s} rad/s"
        );
        assert!((planned.duration_s - live.duration_s).abs() < 1e-6);
        let exits = [&planned, &live].map(|r| r.tracks[0].exit_s);
        assert_eq!(exits[0].is_some(), exits[1].is_some());
        assert!(live.warnings.is_empty(), "{:?}", live.warnings);
    }
}

/// The drive that was recorded is a motion whose run ends where the live one ended.
#[test]
fn what_was_driven_can_be_run_again() {
    let motion = epley(Ear::Right, 10.0);
    let group = [debris(Ear::Right, 2, 60.0)];
    let live = driven(&group, &motion, Engine::Settling);
    let again = HeadMotion::from_samples(live.angles(), 0.0, motion.lever).unwrap();
    assert!((again.duration_s() - motion.duration_s()).abs() < 1e-6);
    let rerun = run(&group, Physics::default(), &again, Engine::Settling);
    let now = live.snapshot();
    for (body, track) in now.bodies.iter().zip(&rerun.tracks) {
        assert_eq!(body.place.region, track.place.last().unwrap().region);
        let end = track.position_in_reid_mm.last().unwrap().map(f64::from);
        let off = (body.position_in_reid_mm - Vec3::from(end)).norm();
        println!("{:.2} µm apart at the end", off * 1e3);
        assert!(off < 0.05, "{off} mm");
    }
    let canal = CANAL.index();
    let signal = &rerun.debris_signal_rad_s[canal];
    let peak = signal.iter().fold(0.0_f64, |m, s| m.max(s.abs()));
    let off = now.debris_signal_rad_s[canal] - signal.last().unwrap();
    println!("{off:.5} rad/s apart of {peak:.3}");
    assert!(off.abs() < 0.01 * peak, "{off} rad/s");
}

/// A snapshot is the last sample, frames of no length change nothing, and nothing waits for a frame's end.
#[test]
fn a_snapshot_is_what_the_run_says() {
    let motion = motion((0.0, 0.0), &[(45.0, 120.0, 3.0, 5.0)]);
    let group = [debris(Ear::Right, 1, 50.0)];
    let mut live = driven(&group, &motion, Engine::Settling);
    let before = live.snapshot();
    live.advance(&motion.at(8.0), 0.0).unwrap();
    live.advance(&motion.at(8.0), f64::NAN).unwrap();
    assert_eq!(before, live.snapshot());
    assert!(live.so_far().time_s.last().unwrap() + 0.05 >= live.time_s() - 1e-9);
    let run = live.finish();
    assert!((run.time_s.last().unwrap() - run.duration_s).abs() < 1e-12);
    let track = &run.tracks[0];
    assert_eq!(before.bodies[0].place, *track.place.last().unwrap());
    for canal in 0..6 {
        let last = *run.debris_signal_rad_s[canal].last().unwrap();
        assert!((before.debris_signal_rad_s[canal] - last).abs() < 1e-12);
    }
    assert!((before.down_in_head.z - 0.5).abs() < 1e-9);
}

/// An hour of live driving is thinned out, not cut off: samples stay even and below the bound.
#[test]
fn a_long_drive_is_thinned_out() {
    let start = motion((0.0, 0.0), &[(0.0, 0.0, 1.0, 1.0)]).at(0.0);
    let model = Model::new(labyrinth(), &[], Physics::default(), &start).unwrap();
    let mut live = Live::new(Arc::new(model), Engine::Settling, &start);
    // Coarse frames, so that the test is short.
    while live.time_s() < 4500.0 {
        live.advance(&start, 0.5).unwrap();
    }
    let run = live.so_far();
    assert!(run.time_s.len() <= 40_000, "{}", run.time_s.len());
    assert!(run.time_s.len() >= 20_000, "{}", run.time_s.len());
    assert!((run.duration_s - 4500.0).abs() < 1e-6);
    let gap = run.time_s[1] - run.time_s[0];
    assert!(
        run.time_s
            .windows(2)
            .all(|w| (w[1] - w[0] - gap).abs() < 1e-9)
    );
}
