//! scratch
#![allow(missing_docs, clippy::all, clippy::pedantic)]
use std::ops::ControlFlow; use std::sync::Arc;
use lithodrome_chair::*; use lithodrome_debris::*; use lithodrome_labyrinth::*;
fn main() {
    let lab = Arc::new(Labyrinth::build(&Anatomy::named("mean-adult").unwrap().unwrap()).unwrap());
    let a = |y: f64, t: f64| ChairAngles { yaw_rad: y.to_radians(), track_rad: t.to_radians(), headrest_flexion_rad: 0.0 };
    let args: Vec<String> = std::env::args().collect();
    let d: f64 = args.get(2).map_or(50.0, |x| x.parse().unwrap());
    let (ear, canal, start, at0, seq): (Ear, Canal, Start, (f64,f64), Vec<(f64,f64,f64,f64)>) = match args[1].as_str() {
        "epley" => (Ear::Right, Canal::Posterior, Start::AmpullaryArm, (0.,0.), vec![(45.,0.,3.,5.),(45.,120.,3.,30.),(135.,120.,3.,30.),(225.,120.,3.,30.),(225.,0.,4.,20.)]),
        "wrong" => (Ear::Right, Canal::Posterior, Start::AmpullaryArm, (0.,0.), vec![(135.,0.,3.,5.),(135.,120.,3.,30.),(45.,120.,3.,30.),(-45.,120.,3.,30.),(-45.,0.,4.,20.)]),
        "back" => (Ear::Right, Canal::Posterior, Start::AmpullaryArm, (45.,0.), (1..=8).map(|i| (45., 45.*i as f64, 3., 30.)).collect()),
        "cont" => (Ear::Right, Canal::Posterior, Start::AmpullaryArm, (45.,0.), vec![(45.,90.,3.,30.),(45.,360.,30.,20.)]),
        "back10" => (Ear::Right, Canal::Posterior, Start::AmpullaryArm, (45.,0.), (1..=8).map(|i| (45., 45.*i as f64, 3., 10.)).collect()),
        "back20" => (Ear::Right, Canal::Posterior, Start::AmpullaryArm, (45.,0.), (1..=8).map(|i| (45., 45.*i as f64, 3., 20.)).collect()),
        "fwd" => (Ear::Right, Canal::Posterior, Start::AmpullaryArm, (45.,0.), (1..=8).map(|i| (45., -45.*i as f64, 3., 30.)).collect()),
        "ac" => (Ear::Right, Canal::Anterior, Start::AmpullaryArm, (90.,0.), vec![(90.,120.,3.,30.),(90.,45.,3.,30.),(90.,0.,3.,20.)]),
        "bbq" => (Ear::Right, Canal::Lateral, Start::NonAmpullaryArm, (90.,0.), vec![(90.,60.,3.,30.),(180.,90.,3.,30.),(270.,90.,3.,30.),(360.,90.,3.,30.),(360.,0.,3.,20.)]),
        "roll" => (Ear::Right, Canal::Lateral, Start::NonAmpullaryArm, (90.,0.), vec![(90.,60.,3.,30.),(0.,90.,3.,60.),(90.,60.,3.,60.),(180.,90.,3.,60.)]),
        _ => panic!(),
    };
    let steps = seq.iter().map(|s| Step { name: String::new(), to: a(s.0, s.1), move_s: s.2, hold_s: s.3 }).collect();
    let m = HeadMotion::new(a(at0.0, at0.1), steps, MoveProfile::MinimumJerk, Lever { head_above_track_axis_mm: 550.0 }).unwrap();
    let g = DebrisGroup { ear, canal, start, count: 8, diameter_mm: d / 1000.0, density_mg_mm3: 2.7 };
    let model = Model::new(lab.clone(), &[g], Physics::default(), &m.at(0.0)).unwrap();
    let engine = if args.get(3).is_some_and(|x| x == "rigid") { Engine::Rigid } else { Engine::Settling };
    let t0 = std::time::Instant::now();
    let run = simulate(&model, &m, engine, &mut |_| ControlFlow::Continue(())).unwrap();
    println!("{:?} wall {:?}", run.work, t0.elapsed());
    for (i, t) in run.tracks.iter().enumerate() { println!("{i} end {:?} {:.2} exit {:?}", t.place.last().unwrap().region, t.place.last().unwrap().arc_mm, t.exit_s); }
    for e in run.events.iter().filter(|e| e.debris == 0) { println!("  {:.2} {:?}", e.time_s, e.kind); }
    for w in &run.warnings { println!("{w}"); }
    let k = CanalId { ear, canal }.index();
    for ts in m.times() {
        let idx = |t: f64| run.time_s.partition_point(|x| *x < t).min(run.time_s.len() - 1);
        let (i0, i1) = (idx(ts.hold_from_s), idx(ts.end_s));
        let sig: Vec<f64> = (i0..i1).map(|i| run.debris_signal_rad_s[k][i].to_degrees()).collect();
        let (pi, pk) = sig.iter().enumerate().fold((0, 0.0), |(bi, b): (usize, f64), (i, s)| if s.abs() > b.abs() { (i, *s) } else { (bi, b) });
        let lat = sig.iter().position(|s| s.abs() > 3.0);
        println!("hold {:.0}-{:.0}: peak {pk:.1} deg/s at {:.1} s, latency {:?}, end {:.1}; grain0 course {:.2}->{:.2}", ts.hold_from_s, ts.end_s, pi as f64 * 0.05, lat.map(|l| l as f64 * 0.05), sig.last().unwrap_or(&0.0), run.tracks[0].course_mm[i0], run.tracks[0].course_mm[i1]);
    }
}
