//! Vectors to rapier's and back.

use lithodrome_labyrinth::Vec3;
use rapier3d_f64::prelude::Vector;

pub(super) fn to_rapier(v: Vec3) -> Vector {
    Vector::new(v.x, v.y, v.z)
}

pub(super) fn from_rapier(v: Vector) -> Vec3 {
    Vec3::new(v.x, v.y, v.z)
}
