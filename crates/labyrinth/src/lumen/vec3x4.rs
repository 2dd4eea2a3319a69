//! Vectors of four bodies at once.

use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

use wide::f64x4;

use crate::Vec3;

/// A [`Vec3`] in each of four lanes; one lane is one body.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Vec3x4 {
    /// First coordinates, `[lane]`.
    pub x: f64x4,
    /// Second coordinates, `[lane]`.
    pub y: f64x4,
    /// Third coordinates, `[lane]`.
    pub z: f64x4,
}

impl Vec3x4 {
    /// From coordinates.
    #[inline]
    pub fn new(x: f64x4, y: f64x4, z: f64x4) -> Vec3x4 {
        Vec3x4 { x, y, z }
    }

    /// Zero in every lane.
    #[inline]
    pub fn zeros() -> Vec3x4 {
        Vec3x4::default()
    }

    /// One vector in every lane.
    #[inline]
    pub fn splat(v: Vec3) -> Vec3x4 {
        Vec3x4::new(f64x4::splat(v.x), f64x4::splat(v.y), f64x4::splat(v.z))
    }

    /// One vector per lane.
    #[inline]
    pub fn from_lanes(lanes: [Vec3; 4]) -> Vec3x4 {
        let [a, b, c, d] = lanes;
        Vec3x4::new(
            f64x4::new([a.x, b.x, c.x, d.x]),
            f64x4::new([a.y, b.y, c.y, d.y]),
            f64x4::new([a.z, b.z, c.z, d.z]),
        )
    }

    /// The vector of one lane, 0 to 3.
    #[inline]
    pub fn lane(&self, lane: usize) -> Vec3 {
        let at = |v: &f64x4| v.as_array()[lane];
        Vec3::new(at(&self.x), at(&self.y), at(&self.z))
    }

    /// Puts a vector into one lane.
    #[inline]
    pub fn set_lane(&mut self, lane: usize, v: Vec3) {
        self.x.as_mut_array()[lane] = v.x;
        self.y.as_mut_array()[lane] = v.y;
        self.z.as_mut_array()[lane] = v.z;
    }

    /// Scalar products.
    #[inline]
    pub fn dot(&self, other: &Vec3x4) -> f64x4 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    /// Vector products.
    #[inline]
    #[must_use]
    pub fn cross(&self, other: &Vec3x4) -> Vec3x4 {
        Vec3x4::new(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )
    }

    /// Squares of the lengths.
    #[inline]
    pub fn norm_squared(&self) -> f64x4 {
        self.dot(self)
    }

    /// Lengths.
    #[inline]
    pub fn norm(&self) -> f64x4 {
        self.norm_squared().sqrt()
    }

    /// `yes` where the mask is set, `no` elsewhere.
    #[inline]
    pub fn select(mask: f64x4, yes: Vec3x4, no: Vec3x4) -> Vec3x4 {
        Vec3x4::new(
            mask.select(yes.x, no.x),
            mask.select(yes.y, no.y),
            mask.select(yes.z, no.z),
        )
    }

    /// Itself where the mask is set, zero elsewhere.
    #[inline]
    #[must_use]
    pub fn only(self, mask: f64x4) -> Vec3x4 {
        Vec3x4::new(self.x & mask, self.y & mask, self.z & mask)
    }
}

impl Add for Vec3x4 {
    type Output = Vec3x4;

    #[inline]
    fn add(self, other: Vec3x4) -> Vec3x4 {
        Vec3x4::new(self.x + other.x, self.y + other.y, self.z + other.z)
    }
}

impl AddAssign for Vec3x4 {
    #[inline]
    fn add_assign(&mut self, other: Vec3x4) {
        *self = *self + other;
    }
}

impl Sub for Vec3x4 {
    type Output = Vec3x4;

    #[inline]
    fn sub(self, other: Vec3x4) -> Vec3x4 {
        Vec3x4::new(self.x - other.x, self.y - other.y, self.z - other.z)
    }
}

impl SubAssign for Vec3x4 {
    #[inline]
    fn sub_assign(&mut self, other: Vec3x4) {
        *self = *self - other;
    }
}

impl Mul<f64x4> for Vec3x4 {
    type Output = Vec3x4;

    #[inline]
    fn mul(self, by: f64x4) -> Vec3x4 {
        Vec3x4::new(self.x * by, self.y * by, self.z * by)
    }
}

impl Neg for Vec3x4 {
    type Output = Vec3x4;

    #[inline]
    fn neg(self) -> Vec3x4 {
        Vec3x4::new(-self.x, -self.y, -self.z)
    }
}
