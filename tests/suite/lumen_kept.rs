//! Every shipped scenario: no body is lost, leaves the lumen or passes a cupula.
//!
//! The run watches that itself with the wall it carries along for each body. Here every recorded place
//! is looked up from nothing, so that a body that follows a wrong wall would show.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use lithodrome_debris::{Engine, EventKind, Run, simulate};
use lithodrome_labyrinth::{Region, Vec3};
use lithodrome_rehearsal::{Compiled, compile_file};
use rayon::prelude::*;

/// A drawn place may be this far outside, µm: a run warns of a body's own place from 2 µm on, and of thirteen that push
/// each other over the shoulder of a lateral ampulla a place between two steps is up to 3.0 µm outside, 7 % of a
/// clump's diameter.
const ALLOWED_UM: f64 = 3.5;
/// Every how many samples are looked up: four times a second.
const EVERY: usize = 5;

fn shipped(folder: &str) -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut files: Vec<_> = std::fs::read_dir(root.join(folder))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "ron"))
        .collect();
    files.sort();
    files
}

/// How far the body that is farthest out is outside at any sample, µm; below 0 all are inside.
fn farthest_out_um(compiled: &Compiled, run: &Run) -> f64 {
    let mut farthest = f64::NEG_INFINITY;
    for (body, track) in compiled.model.bodies.iter().zip(&run.tracks) {
        let ear = compiled.labyrinth.ear(body.ear);
        let mut last = [0; 3];
        for at in track.position_in_reid_mm.iter().step_by(EVERY) {
            if at.map(f32::to_bits) == last {
                continue;
            }
            last = at.map(f32::to_bits);
            let here = Vec3::from(at.map(f64::from));
            let wall = ear.wall(here, &mut ear.find(here));
            farthest = farthest.max(body.half_width_mm - wall.depth_mm);
        }
    }
    farthest * 1e3
}

/// Whether a body goes from one side of a cupula to the other and nowhere else in between.
fn passes_a_cupula(run: &Run) -> bool {
    (0..run.tracks.len()).any(|i| {
        let entered = run.events.iter().filter(|e| e.debris == i);
        let regions = entered.filter_map(|e| match e.kind {
            EventKind::Entered(region) => Some(region),
            EventKind::Detached => None,
        });
        let mut was = run.tracks[i].place[0].region;
        let mut passed = false;
        for is in regions {
            passed |= match (was, is) {
                (Region::Duct(a), Region::ShortArm(b)) | (Region::ShortArm(a), Region::Duct(b)) => {
                    a == b
                }
                _ => false,
            };
            was = is;
        }
        passed
    })
}

fn check(file: &Path, engine: Engine) -> (usize, f64) {
    let name = file.file_stem().unwrap().to_string_lossy();
    let compiled = compile_file(file).unwrap();
    let go_on = &mut |_| ControlFlow::Continue(());
    let run = simulate(&compiled.model, &compiled.motion, engine, go_on).unwrap();
    assert!(run.warnings.is_empty(), "{name}: {:?}", run.warnings);
    let asked: u32 = compiled.scenario.debris.iter().map(|d| d.count).sum();
    assert_eq!(run.tracks.len(), asked as usize, "{name}");
    for track in &run.tracks {
        assert_eq!(track.position_in_reid_mm.len(), run.time_s.len(), "{name}");
        let known = |at: &[f32; 3]| at.iter().all(|x| x.is_finite());
        assert!(track.position_in_reid_mm.iter().all(known), "{name}");
    }
    assert!(!passes_a_cupula(&run), "{name}");
    let out_um = farthest_out_um(&compiled, &run);
    assert!(
        out_um < ALLOWED_UM,
        "{engine:?} {name}: {out_um} µm outside"
    );
    (run.tracks.len() * run.time_s.len() / EVERY, out_um)
}

fn check_all(files: &[PathBuf], engine: Engine) {
    let found: Vec<_> = files.par_iter().map(|file| check(file, engine)).collect();
    let looked: usize = found.iter().map(|f| f.0).sum();
    let worst = found.iter().map(|f| f.1).fold(f64::NEG_INFINITY, f64::max);
    println!(
        "{engine:?}: {} files, {looked} places, farthest out {worst:.3} µm",
        files.len()
    );
    assert!(looked > 50_000);
}

#[test]
fn settling_keeps_all_debris_of_all_scenarios_in_the_lumen() {
    let files = [shipped("scenarios"), shipped("scenarios/library")].concat();
    assert!(files.len() > 60);
    check_all(&files, Engine::Settling);
}

#[test]
fn rigid_keeps_all_debris_of_the_scenarios_in_the_lumen() {
    check_all(&shipped("scenarios"), Engine::Rigid);
}
