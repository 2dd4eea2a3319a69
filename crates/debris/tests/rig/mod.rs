//! The stage of every test on the ring: one posterior duct that is a part of a torus, turned in its own
//! plane by the chair's track axis.
#![allow(
    dead_code,
    unreachable_pub,
    clippy::unwrap_used,
    reason = "each test program uses a part, and may fail loudly"
)]

use std::f64::consts::PI;
use std::ops::ControlFlow;
use std::sync::Arc;

use lithodrome_chair::{ChairAngles, HeadMotion, Lever, MoveProfile, Step};
use lithodrome_debris::drag::DragTable;
use lithodrome_debris::{
    DebrisGroup, Engine, Matter, Model, Physics, Rolling, Run, Start, Track, simulate,
    stokes_speed_mm_s,
};
use lithodrome_labyrinth::{Canal, CanalId, Ear, Ring};

pub(crate) const CALCITE: f64 = 2.7;
/// The canal that every test on the ring is about.
pub(crate) const CANAL: CanalId = CanalId {
    ear: Ear::Left,
    canal: Canal::Posterior,
};
pub(crate) const BOTH: [Engine; 2] = [Engine::Settling, Engine::Rigid];

/// Physics of the closed forms: the flow does not carry debris.
pub(crate) fn no_entrainment() -> Physics {
    Physics {
        entrainment: false,
        ..Physics::default()
    }
}

/// `count` bodies that start side by side around an angle from the cupula, on the lower wall.
pub(crate) fn at_angle(ring: &Ring, count: u32, diameter_um: f64, angle_deg: f64) -> DebrisGroup {
    DebrisGroup {
        ear: CANAL.ear,
        canal: CANAL.canal,
        start: Start::Arc {
            mm: angle_deg.to_radians() * ring.arc_radius_mm,
        },
        count,
        diameter_mm: diameter_um / 1000.0,
        density_mg_mm3: CALCITE,
        matter: Matter::default(),
    }
}

/// The same bodies with a resistance to rolling.
pub(crate) fn resisting(group: DebrisGroup, resistance: f64) -> DebrisGroup {
    let rolling = group.matter.rolling.resisting(resistance);
    DebrisGroup {
        matter: Matter {
            rolling,
            ..group.matter
        },
        ..group
    }
}

pub(crate) fn chair(yaw_deg: f64, track_deg: f64) -> ChairAngles {
    ChairAngles {
        yaw_rad: yaw_deg.to_radians(),
        track_rad: track_deg.to_radians(),
        headrest_flexion_rad: 0.0,
    }
}

/// Steps of (track, move, hold) in degrees and seconds at one yaw; the head is on the track axis.
pub(crate) fn turns(yaw_deg: f64, from_deg: f64, steps: &[(f64, f64, f64)]) -> HeadMotion {
    let steps = steps.iter().map(|&(track, move_s, hold_s)| Step {
        name: String::new(),
        to: chair(yaw_deg, track),
        move_s,
        hold_s,
    });
    HeadMotion::new(
        chair(yaw_deg, from_deg),
        steps.collect(),
        MoveProfile::MinimumJerk,
        Lever {
            head_above_track_axis_mm: 0.0,
        },
    )
    .unwrap()
}

/// A hold at the track angle that puts the lowest point at an angle from the cupula.
pub(crate) fn hold(ring: &Ring, lowest_deg: f64, hold_s: f64) -> HeadMotion {
    let track = lowest_deg - ring.lowest_upright_rad.to_degrees();
    turns(0.0, track, &[(track, 0.0, hold_s)])
}

/// The motion that the head lines of a table of `tests/scipy` give.
pub(crate) fn reference_motion(table: &str) -> HeadMotion {
    let numbers =
        |text: &str| -> Vec<f64> { text.split(',').map(|x| x.trim().parse().unwrap()).collect() };
    let after = |line: &str, head: &str| line.strip_prefix(head).map(&numbers);
    let start = table
        .lines()
        .find_map(|l| after(l, "# start yaw, track: "))
        .unwrap();
    let steps = table
        .lines()
        .filter_map(|l| after(l, "# step yaw, track, move, hold: "))
        .map(|n| Step {
            name: String::new(),
            to: chair(n[0], n[1]),
            move_s: n[2],
            hold_s: n[3],
        });
    HeadMotion::new(
        chair(start[0], start[1]),
        steps.collect(),
        MoveProfile::MinimumJerk,
        Lever {
            head_above_track_axis_mm: 0.0,
        },
    )
    .unwrap()
}

pub(crate) fn model(
    ring: &Ring,
    groups: &[DebrisGroup],
    physics: Physics,
    motion: &HeadMotion,
) -> Model {
    Model::new(Arc::new(ring.labyrinth()), groups, physics, &motion.at(0.0)).unwrap()
}

pub(crate) fn go(model: &Model, motion: &HeadMotion, engine: Engine) -> Run {
    let run = simulate(model, motion, engine, &mut |_| ControlFlow::Continue(())).unwrap();
    assert!(run.warnings.is_empty(), "{:?}", run.warnings);
    run
}

pub(crate) fn run(
    ring: &Ring,
    groups: &[DebrisGroup],
    physics: Physics,
    motion: &HeadMotion,
    engine: Engine,
) -> Run {
    go(&model(ring, groups, physics, motion), motion, engine)
}

/// Where a body is on the ring, degrees from the cupula, exact to the f32 of the record.
pub(crate) fn angle_deg(ring: &Ring, track: &Track, sample: usize) -> f64 {
    let [_, y, z] = track.position_in_reid_mm[sample].map(f64::from);
    let from_lowest = f64::atan2(-y, -z).to_degrees();
    let angle = from_lowest + ring.lowest_upright_rad.to_degrees();
    // The ring is open between −90° and −30°.
    if angle < -60.0 { angle + 360.0 } else { angle }
}

/// The sample at a time.
pub(crate) fn sample(run: &Run, time_s: f64) -> usize {
    run.time_s.partition_point(|t| *t < time_s - 1e-9)
}

/// Displaced volume of the cupula by debris, pL, `[sample]`.
pub(crate) fn volume_pl(run: &Run) -> Vec<f64> {
    let k = CANAL.index();
    run.debris_signal_rad_s[k]
        .iter()
        .map(|s| s * run.pl_per_rad_s[k])
        .collect()
}

/// The cupula's signal by debris, deg/s, `[sample]`.
pub(crate) fn signal_deg_s(run: &Run) -> Vec<f64> {
    run.debris_signal_rad_s[CANAL.index()]
        .iter()
        .map(|s| s.to_degrees())
        .collect()
}

/// Time and height of the highest point, by the parabola through it and its neighbours.
pub(crate) fn peak(time_s: &[f64], y: &[f64]) -> (f64, f64) {
    let i = (1..y.len() - 1)
        .max_by(|a, b| y[*a].total_cmp(&y[*b]))
        .unwrap();
    let (before, here, after) = (y[i - 1], y[i], y[i + 1]);
    let bend = before - 2.0 * here + after;
    let shift = if bend == 0.0 {
        0.0
    } else {
        0.5 * (before - after) / bend
    };
    let step = time_s[i + 1] - time_s[i];
    (
        time_s[i] + shift * step,
        here - 0.25 * (before - after) * shift,
    )
}

/// One body that rolls on the outer wall of a ring, in numbers of the closed forms.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bead {
    /// Radius of the circle on which its centre moves, mm.
    pub(crate) path_mm: f64,
    /// Its speed where the wall is upright, mm/s.
    pub(crate) speed_mm_s: f64,
    /// Pressure on the cupula there, mPa.
    pub(crate) pressure_mpa: f64,
}

impl Bead {
    pub(crate) fn of(ring: &Ring, physics: &Physics, diameter_um: f64) -> Bead {
        Bead::rolling(ring, physics, &Rolling::default(), diameter_um)
    }

    pub(crate) fn rolling(
        ring: &Ring,
        physics: &Physics,
        rolling: &Rolling,
        diameter_um: f64,
    ) -> Bead {
        let a = diameter_um / 2000.0;
        let lambda = a / ring.duct_radius_mm;
        let m = DragTable::new().at(rolling, lambda, 1.0 - lambda, rolling.gap);
        let weight_nn = 4.0 / 3.0
            * PI
            * a.powi(3)
            * (CALCITE - physics.fluid_density_mg_mm3)
            * physics.gravity_mm_s2;
        Bead {
            path_mm: ring.arc_radius_mm + ring.duct_radius_mm - a * (1.0 + rolling.gap),
            speed_mm_s: m.along * stokes_speed_mm_s(a, CALCITE, physics),
            pressure_mpa: m.entrainment * weight_nn / (PI * ring.duct_radius_mm.powi(2)),
        }
    }

    /// τp = R / v.
    pub(crate) fn time_constant_s(&self) -> f64 {
        self.path_mm / self.speed_mm_s
    }

    /// The tan law: angle from the lowest point after a time, tan(φ/2) = tan(φ0/2) exp(−t/τp).
    pub(crate) fn angle_to_lowest_deg(&self, start_deg: f64, time_s: f64) -> f64 {
        let half = (0.5 * start_deg.to_radians()).tan() * (-time_s / self.time_constant_s()).exp();
        2.0 * half.atan().to_degrees()
    }
}

/// ∫ e^(−(t−x)/τc) sech(x/τp − ln tan(φ0/2)) dx / τc: the cupula's displacement over that of the bead's
/// full pressure held for ever, by Simpson's rule.
pub(crate) fn sech_convolution(start_deg: f64, tau_p_s: f64, tau_c_s: f64, time_s: f64) -> f64 {
    let shift = (0.5 * start_deg.to_radians()).tan().ln();
    let f = |x: f64| (-(time_s - x) / tau_c_s).exp() / (x / tau_p_s - shift).cosh();
    let n = 4000;
    let h = time_s / f64::from(n);
    let inner: f64 = (1..n)
        .map(|i| f(f64::from(i) * h) * if i % 2 == 1 { 4.0 } else { 2.0 })
        .sum();
    h / 3.0 * (f(0.0) + inner + f(time_s)) / tau_c_s
}
