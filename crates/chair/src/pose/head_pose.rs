//! What the ear feels at one time: orientation, gravity, rotation, acceleration.

use lithodrome_labyrinth::Vec3;
use nalgebra::{Matrix3, Rotation3};

use crate::ChairAngles;
use crate::pose::Carried;
use crate::pose::Jet;

/// Where the head sits relative to the crossing of the chair's axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lever {
    /// Height of the head's centre above the track axis along the patient's long axis, mm.
    pub head_above_track_axis_mm: f64,
}

impl Default for Lever {
    /// 500 mm: the body's centre of mass lies on the track axis and the middle between the ears of a
    /// seated adult about half a metre above it (assumed).
    fn default() -> Self {
        Lever {
            head_above_track_axis_mm: 500.0,
        }
    }
}

/// Everything the ear feels at one time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadPose {
    /// The time it is for, s.
    pub time_s: f64,
    /// Chair angles; for another body those of a chair in which gravity points the same way in the head.
    pub angles: ChairAngles,
    /// Orientation.
    pub room_from_head: Rotation3<f64>,
    /// Unit vector of gravity in head axes.
    pub down_in_head: Vec3,
    /// Angular velocity in head axes, rad/s.
    pub angular_velocity_in_head_rad_s: Vec3,
    /// Angular acceleration in head axes, rad/s².
    pub angular_acceleration_in_head_rad_s2: Vec3,
    /// Linear acceleration of the head's centre, in head axes, mm/s².
    pub acceleration_in_head_mm_s2: Vec3,
}

impl HeadPose {
    /// Linear acceleration, mm/s² in head axes, of a point that is fixed in the head,
    /// `point_in_head_mm` from the head's centre.
    ///
    /// # Equation
    /// a + α × r + ω × (ω × r)
    pub fn acceleration_at_mm_s2(&self, point_in_head_mm: Vec3) -> Vec3 {
        let omega = self.angular_velocity_in_head_rad_s;
        self.acceleration_in_head_mm_s2
            + self
                .angular_acceleration_in_head_rad_s2
                .cross(&point_in_head_mm)
            + omega.cross(&omega.cross(&point_in_head_mm))
    }

    /// Whether the head stands still.
    pub fn is_at_rest(&self) -> bool {
        self.angular_velocity_in_head_rad_s == Vec3::zeros()
            && self.angular_acceleration_in_head_rad_s2 == Vec3::zeros()
            && self.acceleration_in_head_mm_s2 == Vec3::zeros()
    }

    pub(crate) fn carried(time_s: f64, angles: ChairAngles, head: Carried) -> HeadPose {
        HeadPose {
            time_s,
            angles,
            room_from_head: head.room_from_frame,
            down_in_head: head.room_from_frame.inverse() * -Vec3::z(),
            angular_velocity_in_head_rad_s: head.velocity_rad_s,
            angular_acceleration_in_head_rad_s2: head.acceleration_rad_s2,
            acceleration_in_head_mm_s2: head.acceleration_mm_s2,
        }
    }
}

/// What stays the same over a run, with the sines taken once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Seat {
    pub(crate) headrest_flexion_rad: f64,
    sin_flexion: f64,
    cos_flexion: f64,
    head_above_track_axis_mm: f64,
}

impl Seat {
    pub(crate) fn new(headrest_flexion_rad: f64, lever: Lever) -> Seat {
        let (sin_flexion, cos_flexion) = headrest_flexion_rad.sin_cos();
        Seat {
            headrest_flexion_rad,
            sin_flexion,
            cos_flexion,
            head_above_track_axis_mm: lever.head_above_track_axis_mm,
        }
    }

    /// `Ry(flexion)ᵀ v`: from the axes of the inner frame (z the patient's long axis) into head axes.
    fn head_from_frame(&self, v: Vec3) -> Vec3 {
        let (s, c) = (self.sin_flexion, self.cos_flexion);
        Vec3::new(c * v.x - s * v.z, v.y, s * v.x + c * v.z)
    }

    /// The pose of a head whose two axes turn as given, at the same time or one after the other.
    ///
    /// # Equation
    /// In the axes of the inner frame, with yaw ψ and track θ:
    /// ω = (θ' cos ψ, −θ' sin ψ, ψ'),
    /// α = (θ" cos ψ − θ'ψ' sin ψ, −θ" sin ψ − θ'ψ' cos ψ, ψ"),
    /// and the head's centre p = (0, 0, h) has the acceleration α × p + ω × (ω × p).
    pub(crate) fn pose(&self, time_s: f64, yaw: Jet, track: Jet) -> HeadPose {
        let (sy, cy) = yaw.value.sin_cos();
        let (st, ct) = track.value.sin_cos();
        let (sf, cf) = (self.sin_flexion, self.cos_flexion);
        let room_from_head = Rotation3::from_matrix_unchecked(Matrix3::new(
            cy * cf,
            -sy,
            cy * sf,
            ct * sy * cf + st * sf,
            ct * cy,
            ct * sy * sf - st * cf,
            st * sy * cf - ct * sf,
            st * cy,
            st * sy * sf + ct * cf,
        ));
        let (yaw_rate, track_rate) = (yaw.rate, track.rate);
        let omega = Vec3::new(track_rate * cy, -track_rate * sy, yaw_rate);
        let alpha = Vec3::new(
            track.acceleration * cy - track_rate * yaw_rate * sy,
            -track.acceleration * sy - track_rate * yaw_rate * cy,
            yaw.acceleration,
        );
        let h = self.head_above_track_axis_mm;
        let acceleration = Vec3::new(
            h * (alpha.y + omega.x * omega.z),
            h * (omega.y * omega.z - alpha.x),
            -h * (omega.x * omega.x + omega.y * omega.y),
        );
        HeadPose {
            time_s,
            angles: ChairAngles {
                yaw_rad: yaw.value,
                track_rad: track.value,
                headrest_flexion_rad: self.headrest_flexion_rad,
            },
            room_from_head,
            down_in_head: self.head_from_frame(Vec3::new(-st * sy, -st * cy, -ct)),
            angular_velocity_in_head_rad_s: self.head_from_frame(omega),
            angular_acceleration_in_head_rad_s2: self.head_from_frame(alpha),
            acceleration_in_head_mm_s2: self.head_from_frame(acceleration),
        }
    }
}
