//! How far gravity in the head is from where it should be, in the plane of a canal and across it.

use lithodrome_labyrinth::{CanalId, Labyrinth, Vec3, frame};
use serde::Serialize;

use crate::units::deg;

/// Within this of the canal's axis gravity has no direction in the plane, degrees (assumed: hands are off by
/// as much).
const ON_AXIS_DEG: f64 = 15.0;
/// A planned turn smaller than this in the plane has no way in which one could go too far, degrees (assumed).
const TURNED_DEG: f64 = 5.0;

/// The way from one direction of gravity in the head to another, seen by a canal.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PlaneMiss {
    /// The head turned by so much more about the canal's axis of excitation, degrees; 0 where gravity is
    /// within 15° of that axis.
    pub in_plane_deg: f64,
    /// Gravity out of the plane by so much more, degrees; positive toward the axis of excitation.
    pub off_plane_deg: f64,
}

/// From the wanted direction of gravity (head axes) to the one reached.
pub fn plane_miss(labyrinth: &Labyrinth, canal: CanalId, wanted: Vec3, reached: Vec3) -> PlaneMiss {
    let head_from_reid = frame::head_from_reid(labyrinth.reid_pitch_nose_up_rad);
    about(
        head_from_reid * labyrinth.canal(canal).n_exc_in_reid,
        wanted,
        reached,
    )
}

fn about(axis: Vec3, wanted: Vec3, reached: Vec3) -> PlaneMiss {
    let flat = |v: Vec3| v - axis * v.dot(&axis);
    let (a, b) = (flat(wanted), flat(reached));
    let least = ON_AXIS_DEG.to_radians().sin();
    // Gravity turns in the head against the way that the head turns.
    let in_plane_deg = if a.norm() < least || b.norm() < least {
        0.0
    } else {
        -deg(a.cross(&b).dot(&axis).atan2(a.dot(&b)))
    };
    let out = |v: Vec3| v.dot(&axis).clamp(-1.0, 1.0).asin();
    PlaneMiss {
        in_plane_deg,
        off_plane_deg: deg(out(reached) - out(wanted)),
    }
}

impl PlaneMiss {
    /// "12° short in the plane of the canal, 4° off it"; `planned_turn_deg` is the turn about the canal's axis
    /// that was planned, which tells short from too far.
    pub fn words(self, planned_turn_deg: f64) -> String {
        let way = if planned_turn_deg.abs() < TURNED_DEG {
            "off"
        } else if self.in_plane_deg * planned_turn_deg < 0.0 {
            "short"
        } else {
            "too far"
        };
        let [inside, across] = [self.in_plane_deg, self.off_plane_deg].map(f64::abs);
        if inside < 0.5 {
            return format!("{across:.0}° off the plane of the canal");
        }
        format!("{inside:.0}° {way} in the plane of the canal, {across:.0}° off it")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_turn_in_the_plane_and_a_tilt_out_of_it_are_told_apart() {
        // Hand calculation: gravity along x turned by 20° about z, then lifted out of the plane by 10°.
        let (s, c) = 20.0_f64.to_radians().sin_cos();
        let (up, flat) = 10.0_f64.to_radians().sin_cos();
        let reached = Vec3::new(c * flat, s * flat, up);
        let miss = about(Vec3::z(), Vec3::x(), reached);
        assert!(
            (miss.in_plane_deg + 20.0).abs() < 1e-9 && (miss.off_plane_deg - 10.0).abs() < 1e-9
        );
        assert_eq!(
            miss.words(90.0),
            "20° short in the plane of the canal, 10° off it"
        );
        assert!(miss.words(-90.0).starts_with("20° too far"));
        assert!(miss.words(0.0).starts_with("20° off in"));
    }

    #[test]
    fn along_the_axis_there_is_no_turn_in_the_plane() {
        let tilted = Vec3::new(0.1, 0.1, 1.0).normalize();
        let miss = about(Vec3::z(), Vec3::z(), tilted);
        // By hand: tan of the tilt is √0.02.
        let tilt_deg = 0.02_f64.sqrt().atan().to_degrees();
        assert!(miss.in_plane_deg.abs() < 1e-12);
        assert!((miss.off_plane_deg + tilt_deg).abs() < 1e-9, "{miss:?}");
        assert_eq!(miss.words(90.0), "8° off the plane of the canal");
    }
}
