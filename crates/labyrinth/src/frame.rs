//! Ears, canals and axes. The only place where an ear is mirrored.
//!
//! **Reid axes** (anatomy): x nasal, y left, z up, through the ear canals and the lower rims of the
//! orbits, mm from the middle between the ear canals. Canal normals and centre-lines are in them.
//! **Head axes** (posture): the same x, y, z, but level when the patient sits upright in the
//! headrest. Reid's plane is then pitched nose-up by a few degrees, see [`head_from_reid`].
//! All axes are right-handed: +x roll lowers the right ear, +y pitch lowers the nose, +z yaw turns left.

use nalgebra::{Rotation3, Vector3};
use serde::{Deserialize, Serialize};

/// A vector in f64; the frame and the unit stand in the name of whatever holds it.
pub type Vec3 = Vector3<f64>;

/// Length of a vector, exactly as `norm` has it: that one takes its root in software, as the rigid engine's
/// determinism across machines wants it of every crate.
#[inline]
pub fn length(v: &Vec3) -> f64 {
    v.norm_squared().sqrt()
}

/// The unit vector along `v`, like `normalize`.
#[inline]
pub(crate) fn unit(v: Vec3) -> Vec3 {
    v / length(&v)
}

/// Sine of the angle below which two directions are one.
const SAME_DIRECTION: f64 = 1e-7;

/// The smallest turn that carries one direction to another; `None` between opposite ones. nalgebra's own is not a
/// number where rounding makes the cosine of two equal directions more than 1.
pub fn smallest_turn(from: &Vec3, to: &Vec3) -> Option<Rotation3<f64>> {
    let (a, b) = (from.normalize(), to.normalize());
    if a.dot(&b) > 0.0 && a.cross(&b).norm() < SAME_DIRECTION {
        return Some(Rotation3::identity());
    }
    Rotation3::rotation_between(from, to)
}

/// One side of the head.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Ear {
    /// The right ear.
    Right,
    /// The left ear.
    Left,
}

impl Ear {
    /// Both ears, right first, as every array `[ear]` in the project.
    pub const ALL: [Ear; 2] = [Ear::Right, Ear::Left];

    /// 0 for right, 1 for left.
    pub const fn index(self) -> usize {
        self as usize
    }

    /// "right" or "left".
    pub const fn name(self) -> &'static str {
        match self {
            Ear::Right => "right",
            Ear::Left => "left",
        }
    }

    /// The other ear.
    #[must_use]
    pub const fn other(self) -> Ear {
        match self {
            Ear::Right => Ear::Left,
            Ear::Left => Ear::Right,
        }
    }
}

/// One of the three semicircular canals of an ear.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Canal {
    /// The anterior (superior) canal.
    Anterior,
    /// The lateral (horizontal) canal.
    Lateral,
    /// The posterior canal.
    Posterior,
}

impl Canal {
    /// All canals, in the order of every array `[canal]` in the project.
    pub const ALL: [Canal; 3] = [Canal::Anterior, Canal::Lateral, Canal::Posterior];

    /// 0 anterior, 1 lateral, 2 posterior.
    pub const fn index(self) -> usize {
        self as usize
    }

    /// "anterior", "lateral" or "posterior".
    pub const fn name(self) -> &'static str {
        match self {
            Canal::Anterior => "anterior",
            Canal::Lateral => "lateral",
            Canal::Posterior => "posterior",
        }
    }

    /// +1 where ampullofugal flow excites (vertical canals), −1 where ampullopetal flow does (lateral).
    ///
    /// # Source
    /// Ewald's laws; Balatsouras 2011, Int J Otolaryngol 483965, Table 1.
    pub const fn excited_by_ampullofugal(self) -> f64 {
        match self {
            Canal::Anterior | Canal::Posterior => 1.0,
            Canal::Lateral => -1.0,
        }
    }
}

/// One of the six canals of a head.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct CanalId {
    /// The side.
    pub ear: Ear,
    /// The canal of that side.
    pub canal: Canal,
}

impl CanalId {
    /// All six: right anterior, right lateral, right posterior, then the left ones.
    pub const ALL: [CanalId; 6] = [
        CanalId {
            ear: Ear::Right,
            canal: Canal::Anterior,
        },
        CanalId {
            ear: Ear::Right,
            canal: Canal::Lateral,
        },
        CanalId {
            ear: Ear::Right,
            canal: Canal::Posterior,
        },
        CanalId {
            ear: Ear::Left,
            canal: Canal::Anterior,
        },
        CanalId {
            ear: Ear::Left,
            canal: Canal::Lateral,
        },
        CanalId {
            ear: Ear::Left,
            canal: Canal::Posterior,
        },
    ];

    /// Place in arrays `[6]`: `3 * ear + canal`.
    pub const fn index(self) -> usize {
        3 * self.ear.index() + self.canal.index()
    }

    /// "right posterior canal".
    pub fn name(self) -> String {
        format!("{} {} canal", self.ear.name(), self.canal.name())
    }
}

/// A part of the labyrinth where debris can be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Region {
    /// A duct from the canal face of its cupula to its other end (the crus, or the utricle).
    Duct(Canal),
    /// The utricular side of an ampulla, within an ampulla's length of its cupula.
    ShortArm(Canal),
    /// The segment that the anterior and the posterior canal share.
    CommonCrus,
    /// The utricle.
    Utricle,
}

impl Region {
    /// "posterior duct", "posterior short arm", "common crus" or "utricle".
    pub const fn name(self) -> &'static str {
        match self {
            Region::Duct(Canal::Anterior) => "anterior duct",
            Region::Duct(Canal::Lateral) => "lateral duct",
            Region::Duct(Canal::Posterior) => "posterior duct",
            Region::ShortArm(Canal::Anterior) => "anterior short arm",
            Region::ShortArm(Canal::Lateral) => "lateral short arm",
            Region::ShortArm(Canal::Posterior) => "posterior short arm",
            Region::CommonCrus => "common crus",
            Region::Utricle => "utricle",
        }
    }
}

/// The mirror image of a point or a polar vector in the other ear: (x, −y, z).
#[must_use]
pub fn mirror_point(v: Vec3) -> Vec3 {
    Vec3::new(v.x, -v.y, v.z)
}

/// The mirror image of an axis of rotation in the other ear: (−x, y, −z).
#[must_use]
pub fn mirror_axis(v: Vec3) -> Vec3 {
    Vec3::new(-v.x, v.y, -v.z)
}

/// Turns Reid axes into head axes: Reid's plane pitched nose-up by `nose_up_rad`.
#[must_use]
pub fn head_from_reid(nose_up_rad: f64) -> Rotation3<f64> {
    Rotation3::from_axis_angle(&Vec3::y_axis(), -nose_up_rad)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests may fail loudly")]
    use super::*;

    /// A direction and itself after all sorts of rounding: a turn by nothing, and never no number.
    #[test]
    fn equal_directions_need_no_turn_whatever_their_rounding() {
        for k in 0..20_000 {
            let k = f64::from(k);
            let from = Vec3::new((0.7 * k).sin(), (1.3 * k).cos(), (0.1 * k).sin() + 0.2);
            let to = from * (1.0 / 3.0 + 0.01 * k) / (0.3 + 0.001 * k);
            let turned = smallest_turn(&from, &to).unwrap() * from.normalize();
            assert!((turned - to.normalize()).norm() < 1e-7, "{from} {to}");
        }
        let quarter = smallest_turn(&Vec3::x(), &Vec3::z()).unwrap();
        assert!((quarter * Vec3::x() - Vec3::z()).norm() < 1e-12);
        assert!(smallest_turn(&Vec3::x(), &-Vec3::x()).is_none());
    }
}
