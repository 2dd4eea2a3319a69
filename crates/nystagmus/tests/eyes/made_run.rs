//! Runs whose cupula signals are given by hand.

use lithodrome_debris::{Engine, Run, Work};
use lithodrome_labyrinth::frame::mirror_axis;
use lithodrome_labyrinth::{CanalId, Vec3};

/// Mean axes of excitation of the right ear, anterior, lateral, posterior, in Reid axes: Della Santina
/// 2005, J Assoc Res Otolaryngol 6:191 (lateral as printed there, the others from memory; they have the
/// printed angles between the canals).
const RIGHT_N_EXC: [[f64; 3]; 3] = [
    [0.590, 0.788, 0.176],
    [0.322, -0.039, -0.946],
    [0.694, -0.667, 0.271],
];

pub(crate) fn n_exc() -> [Vec3; 6] {
    let right = RIGHT_N_EXC.map(Vec3::from);
    let left = right.map(mirror_axis);
    [right[0], right[1], right[2], left[0], left[1], left[2]]
}

/// A run with these signals, deg/s, of debris and of rotation at these times.
pub(crate) fn run_of(
    time_s: &[f64],
    debris_deg_s: impl Fn(CanalId, f64) -> f64,
    rotation_deg_s: impl Fn(CanalId, f64) -> f64,
) -> Run {
    let column = |signal_deg_s: &dyn Fn(CanalId, f64) -> f64| {
        CanalId::ALL.map(|id| {
            time_s
                .iter()
                .map(|&t| signal_deg_s(id, t).to_radians())
                .collect::<Vec<f64>>()
        })
    };
    Run {
        engine: Engine::default(),
        duration_s: time_s.last().copied().unwrap_or(0.0),
        time_s: time_s.to_vec(),
        step_index: vec![0; time_s.len()],
        down_in_head: vec![-Vec3::z(); time_s.len()],
        debris_signal_rad_s: column(&debris_deg_s),
        rotation_signal_rad_s: column(&rotation_deg_s),
        pl_per_rad_s: [1.0; 6],
        n_exc_in_reid: n_exc(),
        tracks: Vec::new(),
        events: Vec::new(),
        warnings: Vec::new(),
        work: Work::default(),
    }
}

/// A run with debris in one canal only.
pub(crate) fn debris_in(canal: CanalId, time_s: &[f64], deg_s: impl Fn(f64) -> f64) -> Run {
    run_of(
        time_s,
        |id, t| if id == canal { deg_s(t) } else { 0.0 },
        |_, _| 0.0,
    )
}

/// Times from 0 to `to_s`.
pub(crate) fn every(dt_s: f64, to_s: f64) -> Vec<f64> {
    let n = (to_s / dt_s).round() as u32;
    (0..=n).map(|i| f64::from(i) * dt_s).collect()
}
