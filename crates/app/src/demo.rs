//! SHIM, to be deleted: fabricates a run while the engines are being written.
//!
//! Swept tubes stand for the lumen, and debris slides along a line; only `work.rs` uses this.

use std::{path::Path, sync::Arc};

use lithodrome_chair::{ChairAngles, StepTimes, down_in_head};
use lithodrome_debris::{Engine, Place, Run, Track, Work};
use lithodrome_labyrinth::{
    CanalId, Ear, Region, Vec3,
    frame::{head_from_reid, mirror_axis},
};
use lithodrome_nystagmus::EyeTrace;
use lithodrome_rehearsal::{At, Scenario};

use crate::{
    demo_ear,
    stage_data::{ChairColumns, Loaded, Origin},
};

const SHIPPED: &str = r#"(
    format: 1,
    title: "Right posterior canal, whole-body Epley",
    anatomy: "mean-adult",
    debris: [
        ( ear: Right, canal: Posterior, at: AmpullaryArm, count: 8, diameter_um: 50.0 ),
    ],
    chair: ( yaw_deg: 0.0, track_deg: 0.0, headrest_flexion_deg: 0.0 ),
    steps: [
        ( name: "Turn to the canal plane", yaw_deg: 45.0, move_s: 3.0, hold_s: 5.0 ),
        ( name: "Right Dix-Hallpike", track_deg: 120.0, move_s: 3.0, hold_s: 30.0 ),
        ( name: "Turn to the left", yaw_deg: 135.0, move_s: 3.0, hold_s: 30.0 ),
        ( name: "Turn on", yaw_deg: 225.0, move_s: 3.0, hold_s: 30.0 ),
        ( name: "Sit up", track_deg: 0.0, move_s: 4.0, hold_s: 20.0 ),
    ],
)"#;

const DT: f64 = 0.05;
const PITCH: f64 = 7.0 * std::f64::consts::PI / 180.0;

fn parse(text: &str) -> Result<Scenario, String> {
    ron::Options::default()
        .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
        .from_str(text)
        .map_err(|e| e.to_string())
}

fn read(path: &Path) -> Result<Scenario, String> {
    let text = std::fs::read_to_string(path)
        .map_err(|e| format!("cannot read the scenario: {e} ({})", path.display()))?;
    parse(&text).map_err(|e| format!("cannot read the scenario: {e} ({})", path.display()))
}

pub(crate) fn load(
    origin: &Origin,
    progress: &mut dyn FnMut(f64) -> bool,
) -> Result<Loaded, String> {
    let scenario = match origin {
        Origin::Shipped => parse(SHIPPED)?,
        Origin::File(path) => read(path)?,
    };
    let ears = Arc::new([demo_ear::ear(Ear::Right), demo_ear::ear(Ear::Left)]);
    let mut step_times = Vec::new();
    let mut t = 0.0;
    for step in &scenario.steps {
        let hold_from_s = t + step.move_s;
        let end_s = hold_from_s + step.hold_s;
        step_times.push(StepTimes {
            start_s: t,
            hold_from_s,
            end_s,
        });
        t = end_s;
    }
    let n = (t / DT) as usize + 1;
    let time_s: Vec<f64> = (0..n).map(|i| i as f64 * DT).collect();
    let mut chair = ChairColumns::default();
    let mut step_index = Vec::new();
    for &now in &time_s {
        let step = step_times
            .iter()
            .rposition(|s| s.start_s <= now)
            .unwrap_or(0);
        step_index.push(step as u32);
        let (mut from, mut to) = ([scenario.chair.yaw_deg, scenario.chair.track_deg], [0.0; 2]);
        for (i, s) in scenario.steps[..=step].iter().enumerate() {
            to = [s.yaw_deg.unwrap_or(from[0]), s.track_deg.unwrap_or(from[1])];
            if i < step {
                from = to;
            }
        }
        let span = (step_times[step].hold_from_s - step_times[step].start_s).max(1e-9);
        let x = ((now - step_times[step].start_s) / span).clamp(0.0, 1.0);
        let x = x * x * x * (10.0 - 15.0 * x + 6.0 * x * x);
        chair
            .yaw_rad
            .push((from[0] + (to[0] - from[0]) * x).to_radians());
        chair
            .track_rad
            .push((from[1] + (to[1] - from[1]) * x).to_radians());
    }
    let down: Vec<Vec3> = chair
        .yaw_rad
        .iter()
        .zip(&chair.track_rad)
        .map(|(&yaw_rad, &track_rad)| {
            down_in_head(ChairAngles {
                yaw_rad,
                track_rad,
                headrest_flexion_rad: 0.0,
            })
        })
        .collect();
    let reid_from_head = head_from_reid(PITCH).inverse();
    let n_exc = CanalId::ALL.map(|id| {
        let left = demo_ear::NORMALS[id.canal.index()];
        let left = Vec3::new(left[0], left[1], left[2]);
        if id.ear == Ear::Left {
            left
        } else {
            mirror_axis(left)
        }
    });
    let mut signal: [Vec<f32>; 6] = std::array::from_fn(|_| vec![0.0; n]);
    let mut tracks = Vec::new();
    for entry in &scenario.debris {
        let course = demo_ear::course(entry.ear, entry.canal);
        let id = CanalId {
            ear: entry.ear,
            canal: entry.canal,
        }
        .index();
        for k in 0..entry.count {
            let (end, crus) = (course.length(), course.crus_mm);
            let mut s = match entry.at {
                At::AmpullaryArm => 2.6,
                At::NonAmpullaryArm => 8.0,
                At::Utricle => end,
                At::Arc { mm } => mm,
                At::ShortArm | At::OnCupula { .. } => 0.0,
            } + 0.07 * f64::from(k);
            let mut track = Track {
                ear: entry.ear,
                canal: entry.canal,
                diameter_um: entry.diameter_um,
                place: Vec::new(),
                position_in_reid_mm: Vec::new(),
                course_mm: Vec::new(),
                exit_s: None,
            };
            let pace = 0.75 - 0.03 * f64::from(k);
            for i in 0..n {
                let (at, tangent) = course.at(s);
                let v = if s >= end {
                    0.0
                } else {
                    pace * tangent.dot(&(reid_from_head * down[i]))
                };
                s = (s + v * DT).clamp(0.1, end);
                if s >= end && track.exit_s.is_none() {
                    track.exit_s = Some(time_s[i]);
                }
                let region = if s >= end {
                    Region::Utricle
                } else if crus.is_some_and(|c| s > c) {
                    Region::CommonCrus
                } else {
                    Region::Duct(entry.canal)
                };
                track.place.push(Place { region, arc_mm: s });
                let r = 0.12 * f64::from(k) - 0.4;
                let aside = if s >= end {
                    Vec3::new(r, 0.3 * r, 0.0)
                } else {
                    Vec3::zeros()
                };
                let p = at + aside + (reid_from_head * down[i]) * 0.1;
                track
                    .position_in_reid_mm
                    .push([p.x as f32, p.y as f32, p.z as f32]);
                track.course_mm.push(s as f32);
                let sense = entry.canal.excited_by_ampullofugal();
                signal[id][i] += (v * 0.16 * sense) as f32;
            }
            tracks.push(track);
        }
        let mut lagged = 0.0f32;
        for value in &mut signal[id] {
            lagged += (*value - lagged) * 0.03;
            *value = lagged;
        }
    }
    let mut rotation: [Vec<f32>; 6] = std::array::from_fn(|_| vec![0.0; n]);
    let mut eyes = EyeTrace {
        time_s: time_s.clone(),
        debris_slow_phase_rad_s: vec![Vec3::zeros(); n],
        slow_phase_rad_s: vec![Vec3::zeros(); n],
        position_rad: vec![Vec3::zeros(); n],
    };
    let mut position = Vec3::zeros();
    for i in 0..n {
        if i % 200 == 0 && !progress(i as f64 / n as f64) {
            return Err("cancelled".to_owned());
        }
        let omega = if i == 0 {
            Vec3::zeros()
        } else {
            let (yaw, track) = (chair.yaw_rad[i], chair.track_rad[i]);
            let track_rate = (track - chair.track_rad[i - 1]) / DT;
            let yaw_rate = (yaw - chair.yaw_rad[i - 1]) / DT;
            reid_from_head * Vec3::new(track_rate * yaw.cos(), -track_rate * yaw.sin(), yaw_rate)
        };
        let (mut debris, mut all) = (Vec3::zeros(), Vec3::zeros());
        for id in CanalId::ALL {
            let k = id.index();
            let before = if i == 0 { 0.0 } else { rotation[k][i - 1] };
            rotation[k][i] = before * 0.996 + 0.9 * omega.dot(&n_exc[k]) as f32 * 0.1;
            debris -= n_exc[k] * f64::from(signal[k][i]);
            all -= n_exc[k] * f64::from(signal[k][i] + rotation[k][i] * 0.5);
        }
        eyes.debris_slow_phase_rad_s[i] = debris;
        eyes.slow_phase_rad_s[i] = all;
        position += all * DT;
        if position.norm() > 0.12 {
            position *= -0.2;
        }
        eyes.position_rad[i] = position;
    }
    let findings = step_times
        .iter()
        .map(|s| {
            let peak = (0..n)
                .filter(|&i| time_s[i] >= s.hold_from_s && time_s[i] < s.end_s)
                .map(|i| eyes.debris_slow_phase_rad_s[i].norm())
                .fold(0.0, f64::max)
                .to_degrees();
            if peak < 3.0 {
                "No nystagmus.".to_owned()
            } else {
                format!(
                    "Up-beating, upper poles toward the right ear, after 2 s, at most {peak:.0}°/s, for 14 s."
                )
            }
        })
        .collect();
    let run = Run {
        engine: Engine::Settling,
        duration_s: t,
        time_s,
        step_index,
        down_in_head: down,
        debris_signal_rad_s: signal,
        rotation_signal_rad_s: rotation,
        pl_per_rad_s: [900.0; 6],
        n_exc_in_reid: n_exc,
        tracks,
        events: Vec::new(),
        warnings: Vec::new(),
        work: Work::default(),
    };
    Ok(Loaded {
        scenario,
        origin: origin.clone(),
        chair,
        step_times,
        run,
        eyes,
        findings,
        ears,
        reid_pitch_nose_up_rad: PITCH,
    })
}
