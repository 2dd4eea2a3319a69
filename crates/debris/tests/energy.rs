//! In a still head energy only falls: that of debris in gravity and that of bent cupulae together.
//!
//! Of E = −Σ W·x + Σ K V²/2 nothing but drag and flow takes anything (`energy_balance.rs`). What this
//! file would show is a wall, a cupula or a contact that gives energy.
#![allow(clippy::unwrap_used, reason = "helpers of tests may fail loudly")]

mod scene;

use std::sync::Arc;

use lithodrome_chair::{HeadMotion, HeadPose};
use lithodrome_debris::{DebrisGroup, Engine, Live, Model, Physics};
use lithodrome_labyrinth::{CanalId, Ear, frame};
use scene::{debris, epley, labyrinth, motion};

const BOTH: [Engine; 2] = [Engine::Settling, Engine::Rigid];

/// Energy of debris in gravity and of the cupulae, nN·mm.
fn energies(live: &Live, pose: &HeadPose) -> (f64, f64) {
    let model = live.model();
    let reid_from_head = frame::head_from_reid(model.labyrinth.reid_pitch_nose_up_rad).inverse();
    let pull = reid_from_head * pose.down_in_head * model.physics.gravity_mm_s2;
    let now = live.snapshot();
    let high = model
        .bodies
        .iter()
        .zip(&now.bodies)
        .map(|(body, is)| -body.buoyant_mass_mg * pull.dot(&is.position_in_reid_mm))
        .sum();
    let bent = CanalId::ALL
        .iter()
        .map(|id| {
            let (k, i) = (id.index(), id.canal.index());
            let fluid = model.fluid(id.ear);
            let signal = now.debris_signal_rad_s[k] + now.rotation_signal_rad_s[k];
            let volume_mm3 = signal * fluid.gain_mm3_per_rad_s[i];
            0.5 * fluid.stiffness[i] * volume_mm3 * volume_mm3
        })
        .sum();
    (high, bent)
}

/// One hold: the energy lost in it, and the most that it rose above the lowest before, nN·mm.
#[derive(Clone, Copy, Debug, Default)]
struct Hold {
    lost: f64,
    rise: f64,
}

/// Drives a motion frame by frame and watches the energy in every hold.
fn holds(groups: &[DebrisGroup], motion: &HeadMotion, engine: Engine) -> Vec<Hold> {
    let start = motion.at(0.0);
    let model = Model::new(labyrinth(), groups, Physics::default(), &start).unwrap();
    let mut live = Live::new(Arc::new(model), engine, &start);
    let mut out = Vec::new();
    for times in motion.times() {
        let from_s = live.time_s();
        let frames = ((times.hold_from_s - from_s) * 60.0).ceil() as usize;
        for i in 1..=frames {
            let at_s = from_s + (times.hold_from_s - from_s) * i as f64 / frames as f64;
            live.advance(&motion.at(at_s), at_s - live.time_s())
                .unwrap();
        }
        let still = motion.at(0.5 * (times.hold_from_s + times.end_s));
        live.advance(&still, 1e-6).unwrap();
        let energy = |live: &Live| {
            let (high, bent) = energies(live, &still);
            high + bent
        };
        let first = energy(&live);
        let mut lowest = first;
        let mut hold = Hold::default();
        while live.time_s() < times.end_s {
            let dt_s = (times.end_s - live.time_s()).min(0.05);
            live.advance(&still, dt_s).unwrap();
            let now = energy(&live);
            hold.rise = hold.rise.max(now - lowest);
            hold.lost = first - now;
            lowest = lowest.min(now);
        }
        out.push(hold);
    }
    out
}

fn weight_nn(group: &DebrisGroup) -> f64 {
    let volume = std::f64::consts::PI / 6.0 * group.diameter_mm.powi(3);
    f64::from(group.count) * volume * (group.density_mg_mm3 - 1.0) * 9810.0
}

/// Every hold of an Epley manoeuvre. The settling engine gains nothing at all (rounding of 100 nN·mm in
/// double precision is 1e-14) but where three clumps of 90 µm end in the corner between the wall and the
/// cupula of the anterior canal: 0.08 µm of their height come and go there. In the rigid engine bodies
/// that a move has pressed into each other part again: found 0.04 µm of the height of all.
#[test]
fn no_hold_of_a_manoeuvre_gains_energy() {
    for (count, diameter_um, settling_um) in [
        (1, 50.0, 1e-7),
        (8, 50.0, 1e-7),
        (8, 20.0, 1e-7),
        (3, 90.0, 0.2),
    ] {
        let group = debris(Ear::Right, count, diameter_um);
        let motion = epley(Ear::Right, 15.0);
        for (engine, allowed_um) in BOTH.into_iter().zip([settling_um, 0.1]) {
            let holds = holds(&[group], &motion, engine);
            let lost: f64 = holds.iter().map(|h| h.lost).sum();
            let rise = holds.iter().map(|h| h.rise).fold(0.0, f64::max);
            let rise_um = rise / weight_nn(&group) * 1e3;
            println!(
                "{engine:?} {count} of {diameter_um} µm: lost {lost:.3} nN mm, rose {rise:.1e} nN mm, \
                 {rise_um:.3} µm of all"
            );
            assert!(lost > weight_nn(&group), "{lost}: falls by some mm in all");
            assert!(
                rise_um <= allowed_um,
                "{engine:?} {count} {diameter_um}: {holds:?}"
            );
        }
    }
}

/// Debris that has come to rest: no contact, no flow and no wall lifts it. In the rigid engine a contact
/// is as deep as it has to be for the length of the step, which changes, and between bodies of the settling
/// engine as deep as its search left it: nanometres come and go.
#[test]
fn at_rest_nothing_is_lifted() {
    let piles = [
        debris(Ear::Right, 1, 50.0),
        debris(Ear::Right, 8, 50.0),
        DebrisGroup {
            start: lithodrome_debris::Start::Utricle,
            ..debris(Ear::Right, 12, 40.0)
        },
    ];
    for group in piles {
        let pose = motion((0.0, 0.0), &[(0.0, 0.0, 0.0, 1.0)]).at(0.5);
        let settling_um = if group.count == 1 { 1e-7 } else { 0.01 };
        for (engine, allowed_um) in BOTH.into_iter().zip([settling_um, 0.01]) {
            let model = Model::new(labyrinth(), &[group], Physics::default(), &pose).unwrap();
            let mut live = Live::new(Arc::new(model), engine, &pose);
            live.advance(&pose, 240.0).unwrap();
            let mut lowest = energies(&live, &pose).0;
            let mut rise: f64 = 0.0;
            for _ in 0..120 {
                live.advance(&pose, 0.5).unwrap();
                let high = energies(&live, &pose).0;
                rise = rise.max(high - lowest);
                lowest = lowest.min(high);
            }
            let rise_um = rise / weight_nn(&group) * 1e3;
            println!(
                "{engine:?} {} at {:?}: rose {rise_um:.1e} µm of all",
                group.count, group.start
            );
            assert!(
                rise_um < allowed_um,
                "{engine:?} {}: {rise_um} µm",
                group.count
            );
        }
    }
}
