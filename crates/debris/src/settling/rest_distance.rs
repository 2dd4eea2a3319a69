//! Puts a body at its distance from what it touches.

use lithodrome_labyrinth::{Hint, Vec3, WallSample, length};

use crate::law::forces::face_near;
use crate::model::{Body, Model};

/// It is put there in so many rounds at most.
pub(crate) const ROUNDS: usize = 4;
/// In the rounding of an edge the depth counts as growing at least so fast.
pub(crate) const LEAST_STEEPNESS: f64 = 0.3;
/// The wall bends over 0.1 mm and more: over this way, mm, only the depth changes, the rest by 1e-5.
pub(crate) const FLAT_MM: f64 = 1e-3;

/// Puts a body at its rest distance from the wall and the cupula that it is too deep in, and from those
/// that `pressed` names: one that is pressed on a wall rolls along it however it bends, and what a straight
/// step has left between them is taken away.
pub(super) fn settle(
    model: &Model,
    body: &Body,
    at: &mut Vec3,
    hint: &mut Hint,
    pressed: [bool; 2],
) -> WallSample {
    let ear = model.ear_of(body);
    let mut wall = ear.wall(*at, hint);
    for _ in 0..ROUNDS {
        let wanted = |lack: f64, pressed: bool| lack > 0.0 || (pressed && lack > -body.radius_mm);
        let face = face_near(ear, &wall, *at)
            .map(|face| (face.away, body.rest_mm - face.distance_mm))
            .filter(|&(_, lack)| wanted(lack, pressed[1]));
        let steepness = wall.steepness.max(LEAST_STEEPNESS);
        let lack = body.rest_mm - wall.depth_mm;
        let side = wanted(lack, pressed[0]).then_some((wall.inward, lack / steepness));
        let shift = match (side, face) {
            (None, None) => break,
            (Some((away, by)), None) | (None, Some((away, by))) => away * by,
            (Some(side), Some(face)) => into_corner(side, face),
        };
        let size = length(&shift);
        if size == 0.0 {
            break;
        }
        *at += shift;
        if size < FLAT_MM {
            wall.depth_mm += shift.dot(&wall.inward) * wall.steepness;
            break;
        }
        wall = ear.wall(*at, hint);
    }
    wall
}

/// The shift that goes by both distances along both normals at once.
fn into_corner((a, by_a): (Vec3, f64), (b, by_b): (Vec3, f64)) -> Vec3 {
    let cos = a.dot(&b);
    let sin2 = (1.0 - cos * cos).max(0.05);
    a * ((by_a - cos * by_b) / sin2) + b * ((by_b - cos * by_a) / sin2)
}
