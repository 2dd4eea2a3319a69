//! The motion of a frame that is carried by others: each link turns about an axis or is set off along it.

use lithodrome_labyrinth::Vec3;
use nalgebra::{Rotation3, Unit};

use crate::pose::Jet;

/// A frame and how it moves, all vectors in its own axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Carried {
    pub(crate) room_from_frame: Rotation3<f64>,
    pub(crate) velocity_rad_s: Vec3,
    pub(crate) acceleration_rad_s2: Vec3,
    /// Of the frame's origin.
    pub(crate) acceleration_mm_s2: Vec3,
}

impl Carried {
    /// A frame that stands still in the room.
    pub(crate) fn still(room_from_frame: Rotation3<f64>) -> Carried {
        Carried {
            room_from_frame,
            velocity_rad_s: Vec3::zeros(),
            acceleration_rad_s2: Vec3::zeros(),
            acceleration_mm_s2: Vec3::zeros(),
        }
    }

    /// The frame that turns about an axis through this one's origin.
    ///
    /// # Equation
    /// With R the turn: ω₁ = Rᵀω + q'e, α₁ = Rᵀα + q"e + (Rᵀω) × q'e.
    pub(crate) fn turned(self, axis: Unit<Vec3>, turn: Jet) -> Carried {
        let rotation = Rotation3::from_axis_angle(&axis, turn.value);
        let back = |v: Vec3| rotation.inverse() * v;
        let (before, own) = (back(self.velocity_rad_s), axis.into_inner() * turn.rate);
        Carried {
            room_from_frame: self.room_from_frame * rotation,
            velocity_rad_s: before + own,
            acceleration_rad_s2: back(self.acceleration_rad_s2)
                + axis.into_inner() * turn.acceleration
                + before.cross(&own),
            acceleration_mm_s2: back(self.acceleration_mm_s2),
        }
    }

    /// The frame with its origin at a point that is fixed in this one.
    pub(crate) fn set_off(self, offset_mm: Vec3) -> Carried {
        let omega = self.velocity_rad_s;
        Carried {
            acceleration_mm_s2: self.acceleration_mm_s2
                + self.acceleration_rad_s2.cross(&offset_mm)
                + omega.cross(&omega.cross(&offset_mm)),
            ..self
        }
    }

    /// The frame whose origin slides along a direction that is fixed in this one.
    ///
    /// # Equation
    /// The offset's own acceleration, the one of Coriolis, and those of [`Carried::set_off`].
    pub(crate) fn slid(self, along: Vec3, way_mm: Jet) -> Carried {
        let mut slid = self.set_off(along * way_mm.value);
        slid.acceleration_mm_s2 +=
            along * way_mm.acceleration + 2.0 * way_mm.rate * self.velocity_rad_s.cross(&along);
        slid
    }
}
