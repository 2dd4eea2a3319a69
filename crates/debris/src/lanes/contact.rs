//! What walls leave of four velocities, with masks for the lanes that they act on.

use lithodrome_labyrinth::Vec3x4;
use wide::f64x4;

/// Twin of the scalar `split`.
#[inline]
pub(crate) fn split(v: Vec3x4, normal: Vec3x4) -> (f64x4, Vec3x4) {
    let along_normal = v.dot(&normal);
    (along_normal, v - normal * along_normal)
}

/// Twin of the scalar `without_approach`, where `touching`.
#[inline]
pub(crate) fn without_approach(touching: f64x4, v: Vec3x4, away: Vec3x4) -> Vec3x4 {
    let into = v.dot(&away).fast_min(f64x4::ZERO) & touching;
    v - away * into
}

/// Twin of the scalar `share_left`, 1 where nothing grips.
#[inline]
pub(crate) fn share_left(speed: f64x4, grip: f64x4) -> f64x4 {
    let left = (speed - grip).fast_max(f64x4::ZERO);
    let share = left / speed.fast_max(f64x4::splat(f64::MIN_POSITIVE));
    grip.simd_ne(f64x4::ZERO).select(share, f64x4::ONE)
}

/// Twin of the scalar `in_corner`.
#[inline]
pub(crate) fn in_corner(v: Vec3x4, a: Vec3x4, b: Vec3x4) -> Vec3x4 {
    let edge = a.cross(&b);
    let size = edge.norm_squared();
    let is_edge = size.simd_ge(1e-12);
    (edge * (v.dot(&edge) / size.fast_max(f64x4::splat(1e-12)))).only(is_edge)
}
