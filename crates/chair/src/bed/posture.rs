//! A patient on a bed: trunk and neck, and how they carry the head.
//!
//! All angles are 0 when the patient sits upright on the bed's edge and looks ahead. Left is positive.

use lithodrome_labyrinth::Vec3;
use nalgebra::Rotation3;

use crate::pose::Carried;
use crate::pose::Jet;
use crate::pose::Swinging;

/// How the trunk lies, radians.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Trunk {
    /// Leant back: π/2 on the back, −π/2 bowed to the front.
    pub recline_rad: f64,
    /// Fallen to the left side from sitting: π/2 on the left side, −π/2 on the right.
    pub fall_left_rad: f64,
    /// Rolled about its own long axis to the left: lying back, π/2 is on the left side, π on the belly.
    pub roll_left_rad: f64,
}

/// How the head is held on the trunk, radians.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct NeckAngles {
    /// Turned to the left about the head's long axis.
    pub turn_left_rad: f64,
    /// Bent back; below 0 the chin goes to the chest.
    pub extend_rad: f64,
    /// Bent sideways, the left ear to the left shoulder.
    pub tilt_left_rad: f64,
}

/// Trunk and neck.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct BedPosture {
    /// The trunk on the bed.
    pub trunk: Trunk,
    /// The head on the trunk.
    pub neck: NeckAngles,
}

/// Where the joints are along the patient's long axis, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BodyLengths {
    /// From the hips, about which the trunk lies back, to the root of the neck.
    pub trunk_mm: f64,
    /// From the root of the neck to the middle between the ears.
    pub neck_mm: f64,
}

impl Default for BodyLengths {
    /// 550 and 170 mm, a seated adult's (assumed).
    fn default() -> Self {
        BodyLengths {
            trunk_mm: 550.0,
            neck_mm: 170.0,
        }
    }
}

impl BedPosture {
    /// Unit vector of gravity in head axes.
    pub fn down_in_head(&self) -> Vec3 {
        self.room_from_head().inverse() * -Vec3::z()
    }

    /// Orientation of the head.
    ///
    /// # Equation
    /// Trunk: Rx(−fall) Ry(−recline) Rz(roll). Neck: Ry(−extend) Rx(−tilt) Rz(turn): it bends at its root
    /// and turns at its top, so that a turned head that is then laid back keeps its turn.
    pub fn room_from_head(&self) -> Rotation3<f64> {
        self.at_rest().room_from_frame
    }

    /// Largest change of one angle between two postures, rad.
    pub fn turn_to(&self, to: &BedPosture) -> f64 {
        let (from, to) = (self.to_array(), to.to_array());
        from.iter()
            .zip(to)
            .fold(0.0, |m, (a, b)| m.max((b - a).abs()))
    }

    /// Recline, fall, roll, turn, extend, tilt.
    pub(crate) fn to_array(self) -> [f64; 6] {
        let (t, n) = (self.trunk, self.neck);
        [
            t.recline_rad,
            t.fall_left_rad,
            t.roll_left_rad,
            n.turn_left_rad,
            n.extend_rad,
            n.tilt_left_rad,
        ]
    }

    /// The other way of [`BedPosture::to_array`].
    pub(crate) fn from_array(a: [f64; 6]) -> BedPosture {
        BedPosture {
            trunk: Trunk {
                recline_rad: a[0],
                fall_left_rad: a[1],
                roll_left_rad: a[2],
            },
            neck: NeckAngles {
                turn_left_rad: a[3],
                extend_rad: a[4],
                tilt_left_rad: a[5],
            },
        }
    }

    fn at_rest(&self) -> Carried {
        carried(
            self.to_array().map(Jet::at_rest),
            Swinging::default(),
            BodyLengths::default(),
        )
    }
}

/// The head's motion on the way between two postures, all angles at the same share of their way.
pub(crate) fn on_the_way(
    from: &BedPosture,
    to: &BedPosture,
    share: Jet,
    swing: Swinging,
    lengths: BodyLengths,
) -> Carried {
    let (from, to) = (from.to_array(), to.to_array());
    let angles = std::array::from_fn(|i| Jet::at_rest(from[i]).plus(share.times(to[i] - from[i])));
    carried(angles, swing, lengths)
}

fn carried(
    [recline, fall, roll, turn, extend, tilt]: [Jet; 6],
    swing: Swinging,
    lengths: BodyLengths,
) -> Carried {
    let (x, y, z) = (Vec3::x_axis(), Vec3::y_axis(), Vec3::z_axis());
    let up = |mm: f64| Vec3::new(0.0, 0.0, mm);
    let head = Carried::still(Rotation3::identity())
        .turned(x, fall.times(-1.0))
        .turned(y, recline.times(-1.0))
        .turned(z, roll)
        .set_off(up(lengths.trunk_mm))
        .turned(y, extend.times(-1.0).plus(swing.nod))
        .turned(x, tilt.times(-1.0))
        .set_off(up(lengths.neck_mm))
        .turned(z, turn.plus(swing.yaw));
    match swing.shift {
        Some((along, way)) => head.slid(along, way),
        None => head,
    }
}
