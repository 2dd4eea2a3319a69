//! Chair angles to head orientation and back.

use std::f64::consts::{PI, TAU};

use lithodrome_labyrinth::Vec3;
use nalgebra::Rotation3;

/// The chair's angles, radians. They accumulate past ±π.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct ChairAngles {
    /// Turn of the inner frame about the patient's long axis; positive turns him to his left.
    pub yaw_rad: f64,
    /// Turn of the track about its horizontal axis; positive lowers the right side at yaw 0.
    pub track_rad: f64,
    /// Fixed flexion of the headrest; positive lowers the nose.
    pub headrest_flexion_rad: f64,
}

/// `Rx(track) Rz(yaw) Ry(headrest flexion)`.
pub fn room_from_head(angles: ChairAngles) -> Rotation3<f64> {
    Rotation3::from_axis_angle(&Vec3::x_axis(), angles.track_rad)
        * Rotation3::from_axis_angle(&Vec3::z_axis(), angles.yaw_rad)
        * Rotation3::from_axis_angle(&Vec3::y_axis(), angles.headrest_flexion_rad)
}

/// Unit vector of gravity in head axes.
pub fn down_in_head(angles: ChairAngles) -> Vec3 {
    room_from_head(angles).inverse() * -Vec3::z()
}

/// The angles that bring a direction of the head down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Solution {
    /// Yaw, −π to π; 0 where it is free.
    pub yaw_rad: f64,
    /// Track, 0 to π.
    pub track_rad: f64,
    /// Yaw does not matter: the patient's long axis is vertical (track 0 or π).
    pub yaw_free: bool,
}

impl Solution {
    /// The same as chair angles.
    pub fn angles(self, headrest_flexion_rad: f64) -> ChairAngles {
        ChairAngles {
            yaw_rad: self.yaw_rad,
            track_rad: self.track_rad,
            headrest_flexion_rad,
        }
    }
}

/// Within this distance of the long axis a direction leaves yaw free. 1e-9 is far above rounding and
/// far below what a chair can set.
const YAW_FREE: f64 = 1e-9;

/// The angles with track in 0 to π that turn `down_in_head` (of any length but 0) straight down, with
/// the headrest at 0. The other way to the same is [`twin`].
///
/// # Equation
/// down = (−sin θ sin ψ, −sin θ cos ψ, −cos θ), so θ = atan2(√(x² + y²), −z) and ψ = atan2(−x, −y).
pub fn angles_for_down(down_in_head: Vec3) -> Solution {
    angles_for_down_with_headrest(down_in_head, 0.0)
}

/// [`angles_for_down`] for a headrest that is flexed.
pub fn angles_for_down_with_headrest(down_in_head: Vec3, headrest_flexion_rad: f64) -> Solution {
    let down = Rotation3::from_axis_angle(&Vec3::y_axis(), headrest_flexion_rad) * down_in_head;
    let across = down.x.hypot(down.y);
    let yaw_free = across <= YAW_FREE * down.norm();
    let yaw_rad = if yaw_free {
        0.0
    } else {
        f64::atan2(-down.x, -down.y)
    };
    Solution {
        yaw_rad,
        track_rad: across.atan2(-down.z),
        yaw_free,
    }
}

/// The other angles with the same orientation of gravity: (yaw + π, −track).
#[must_use]
pub fn twin(angles: ChairAngles) -> ChairAngles {
    ChairAngles {
        yaw_rad: angles.yaw_rad + PI,
        track_rad: -angles.track_rad,
        ..angles
    }
}

/// The angles for `target_down_in_head` that are the shortest drive away from `from`: whole turns are
/// kept (nothing unwinds by itself) and of the two ways to a direction the nearer one is taken.
///
/// The length of a drive is the root of the sum of both turns squared. Where both ways are equally
/// long the result has track in 0 to π up to whole turns; where yaw is free it stays. The shortest way
/// may lead through inverted: a swing that must pass through upright, as in a Semont manoeuvre, has to
/// give its angles itself.
pub fn nearest_equivalent(from: ChairAngles, target_down_in_head: Vec3) -> ChairAngles {
    let headrest = from.headrest_flexion_rad;
    let solution = angles_for_down_with_headrest(target_down_in_head, headrest);
    let mut first = solution.angles(headrest);
    let mut second = twin(first);
    if solution.yaw_free {
        first.yaw_rad = from.yaw_rad;
        second.yaw_rad = from.yaw_rad;
    }
    let (first, second) = (wound_toward(from, first), wound_toward(from, second));
    if drive(from, second) < drive(from, first) - 1e-9 {
        second
    } else {
        first
    }
}

fn wound_toward(from: ChairAngles, to: ChairAngles) -> ChairAngles {
    let wound = |from: f64, to: f64| to + TAU * ((from - to) / TAU).round();
    ChairAngles {
        yaw_rad: wound(from.yaw_rad, to.yaw_rad),
        track_rad: wound(from.track_rad, to.track_rad),
        ..to
    }
}

fn drive(from: ChairAngles, to: ChairAngles) -> f64 {
    (to.yaw_rad - from.yaw_rad).hypot(to.track_rad - from.track_rad)
}

/// The yaw that lays a canal's plane as near as two axes can to the plane of the track.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CanalPlane {
    /// Yaw at which a positive turn of the track excites the canal, −π to π.
    pub yaw_rad: f64,
    /// Yaw at which a negative turn of the track excites it, −π to π.
    pub twin_yaw_rad: f64,
    /// What remains between the canal's axis and the track axis, 0 to π/2.
    pub residual_tilt_rad: f64,
}

/// The yaw of a canal's plane, from its axis of excitation in head axes with the headrest at 0 (turn
/// the axis by `Ry(flexion)` first if it is flexed).
///
/// # Equation
/// The track axis in head axes is (cos ψ, −sin ψ, 0), nearest to n at ψ = atan2(−n_y, n_x); the part
/// n_z along the patient's long axis remains. For a lateral canal that part is nearly all of it.
pub fn canal_plane_yaw(n_exc_in_head: Vec3) -> CanalPlane {
    let yaw_rad = f64::atan2(-n_exc_in_head.y, n_exc_in_head.x);
    CanalPlane {
        yaw_rad,
        twin_yaw_rad: if yaw_rad > 0.0 {
            yaw_rad - PI
        } else {
            yaw_rad + PI
        },
        residual_tilt_rad: n_exc_in_head
            .z
            .abs()
            .atan2(n_exc_in_head.x.hypot(n_exc_in_head.y)),
    }
}
