//! What is drawn beside the glass of an ear: planes of its canals and the flow in them.

use glam::Vec3;
use lithodrome_labyrinth::{Canal, CanalId, Ear};

use super::{MeshBuilder, shapes};
use crate::{
    kit::theme,
    work::stage_data::{EarShape, Loaded},
};

/// A plane is drawn this many arc radii wide.
const PLANE: f64 = 1.25;
/// Flow slower than this share of the run's fastest is not drawn.
const LEAST_FLOW: f64 = 0.02;
/// Slower than this nothing flows, pL/s: half of what is told as 1.
const STILL_PL_S: f64 = 0.5;
/// Half the time over which flow is measured, s.
const HALF_S: f64 = 0.05;

/// Angle between a canal's plane and the vertical, rad, `[canal]`, for this direction of gravity in Reid
/// axes: 0 if the plane stands upright.
pub fn tilts_rad(loaded: &Loaded, ear: Ear, down_in_reid: &lithodrome_labyrinth::Vec3) -> [f64; 3] {
    Canal::ALL.map(|canal| {
        let n = loaded.run.n_exc_in_reid[CanalId { ear, canal }.index()];
        n.dot(down_in_reid).abs().clamp(0.0, 1.0).asin()
    })
}

/// The canal whose plane is nearest to the vertical, and by how much it is off, rad.
pub fn nearest_vertical(
    loaded: &Loaded,
    ear: Ear,
    down_in_reid: &lithodrome_labyrinth::Vec3,
) -> (Canal, f64) {
    let tilts = tilts_rad(loaded, ear, down_in_reid);
    let nearest = Canal::ALL
        .into_iter()
        .min_by(|a, b| tilts[a.index()].total_cmp(&tilts[b.index()]))
        .unwrap_or(Canal::Posterior);
    (nearest, tilts[nearest.index()])
}

/// Flow of endolymph in a canal, pL/s, positive away from the cupula into the duct.
pub fn flow_pl_s(loaded: &Loaded, id: CanalId, time_s: f64) -> f64 {
    let run = &loaded.run;
    let i = id.index();
    let volume_pl = |time_s: f64| {
        let at = loaded.between(time_s);
        let signal = at.of(&run.debris_signal_rad_s[i]) + at.of(&run.rotation_signal_rad_s[i]);
        signal * run.pl_per_rad_s[i]
    };
    let (from, to) = (
        (time_s - HALF_S).max(0.0),
        (time_s + HALF_S).min(run.duration_s),
    );
    if to > from {
        (volume_pl(to) - volume_pl(from)) / (to - from)
    } else {
        0.0
    }
}

/// The planes of an ear's canals as translucent discs in Reid axes, that of `nearest` stronger.
pub fn planes(out: &mut MeshBuilder, shape: &EarShape, loaded: &Loaded, ear: Ear, nearest: Canal) {
    for canal in Canal::ALL {
        let (centre, radius_mm) = shape.arcs[canal.index()];
        let n = loaded.run.n_exc_in_reid[CanalId { ear, canal }.index()];
        let [r, g, b, _] = theme::canal_colour(canal).to_array();
        let (fill, rim) = if canal == nearest {
            (44, 230)
        } else {
            (14, 90)
        };
        let (centre, n, radius) = (vec3(centre), vec3(n), (radius_mm * PLANE) as f32);
        shapes::flat_ring(out, centre, n, 0.0, radius, [[r, g, b, fill]; 2]);
        let wide = if canal == nearest { 0.05 } else { 0.025 };
        shapes::flat_ring(out, centre, n, radius, radius + wide, [[r, g, b, rim]; 2]);
    }
}

/// Arrows along the ducts of an ear in Reid axes, as long as the flow is fast.
pub fn flow(
    out: &mut MeshBuilder,
    shape: &EarShape,
    loaded: &Loaded,
    ear: Ear,
    time_s: f64,
    colour: [u8; 4],
) {
    for canal in Canal::ALL {
        let now_pl_s = flow_pl_s(loaded, CanalId { ear, canal }, time_s);
        let share = now_pl_s / loaded.fastest_flow_pl_s;
        if now_pl_s.abs() < STILL_PL_S || !share.is_finite() || share.abs() < LEAST_FLOW {
            continue;
        }
        let line = &shape.lines_in_reid_mm[canal.index()];
        let duct_mm = shape.courses[canal.index()]
            .crus_mm
            .unwrap_or(shape.courses[canal.index()].utricle_mm);
        let step_mm = shape.courses[canal.index()].utricle_mm / (line.len() - 1) as f64;
        // A root, so that slow flow can be seen beside the fast one of a turn.
        let long_mm = 0.4 + 1.6 * share.abs().sqrt();
        for place in [0.35, 0.6, 0.85] {
            let index = |mm: f64| ((mm / step_mm).round().max(0.0) as usize).min(line.len() - 1);
            let middle_mm = duct_mm * place;
            let mut ends = [middle_mm - long_mm / 2.0, middle_mm + long_mm / 2.0].map(index);
            if share < 0.0 {
                ends.reverse();
            }
            let [from, to] = ends.map(|i| vec3(line[i]));
            if from.distance(to) > 0.05 {
                shapes::arrow(out, from, to, 0.035, colour);
            }
        }
    }
}

fn vec3(v: lithodrome_labyrinth::Vec3) -> Vec3 {
    Vec3::new(v.x as f32, v.y as f32, v.z as f32)
}
