//! Chair angles to head orientation and back.

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
