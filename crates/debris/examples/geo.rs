//! scratch
#![allow(missing_docs, clippy::all, clippy::pedantic)]
use lithodrome_chair::*; use lithodrome_labyrinth::*;
fn main() {
    let lab = Labyrinth::build(&Anatomy::named("mean-adult").unwrap().unwrap()).unwrap();
    let ear = lab.ear(Ear::Right);
    let m = ear.canal(Canal::Anterior).landmarks; let mp = ear.canal(Canal::Posterior).landmarks;
    let ta = ear.tube(Canal::Anterior); let tp = ear.tube(Canal::Posterior);
    println!("A {m:?}\nP {mp:?}");
    let g = |t: f64| { let down = down_in_head(ChairAngles { yaw_rad: 45f64.to_radians(), track_rad: t.to_radians(), headrest_flexion_rad: 0.0 }); frame::head_from_reid(7f64.to_radians()).inverse() * down };
    let (j, dj, _) = ta.at(m.duct_end_mm + 1.0); let up = -dj;
    for i in 0..=28 { let s = 11.0 + 0.1 * i as f64; if s > mp.duct_end_mm { break; }
        let (p, t, _) = tp.at(s); let rel = p - j; let off = (rel - up * rel.dot(&up)).norm();
        println!("s {s:.1} off {off:.3} level {:.3} heading {:.1} | g.t 225 {:.3} 270 {:.3} 180 {:.3}", rel.dot(&up) - 1.0, t.angle(&dj).to_degrees(), g(225.).dot(&t), g(270.).dot(&t), g(180.).dot(&t)); }
}
