//! What two axes leave over: the tilt of the canal planes in a pose, and the path of a drive to it.

use lithodrome_chair::{
    canal_plane_yaw, down_in_head, nearest_equivalent, path_difference, plane_tilt_to_vertical_rad,
};
use lithodrome_labyrinth::{CanalId, Labyrinth, Vec3, frame::head_from_reid};
use nalgebra::Rotation3;
use serde::Serialize;

use super::posture::Posture;
use crate::units::{chair_angles, deg, rad, tidy};

/// One canal's plane in a pose.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PlaneTilt {
    /// "right" or "left".
    pub ear: &'static str,
    /// "anterior", "lateral" or "posterior".
    pub canal: &'static str,
    /// Angle between the canal's plane and the vertical; its cosine of gravity acts in the plane.
    pub tilt_deg: f64,
    /// Yaw that lays the plane as near as can be to the track's, a positive turn of which then excites.
    pub plane_yaw_deg: f64,
    /// The other such yaw; there a negative turn excites.
    pub plane_twin_yaw_deg: f64,
    /// Tilt that remains between plane and track at these yaws.
    pub residual_tilt_deg: f64,
}

/// The six planes of a labyrinth in a pose, in the order of [`CanalId::ALL`].
pub fn plane_tilts(posture: &Posture, labyrinth: &Labyrinth) -> Vec<PlaneTilt> {
    let head = head_from_reid(labyrinth.reid_pitch_nose_up_rad);
    let headrest = Rotation3::from_axis_angle(&Vec3::y_axis(), rad(posture.headrest_deg));
    let down = Vec3::from(posture.down_in_head);
    let of_canal = |id: CanalId| {
        let n_in_head = head * labyrinth.canal(id).n_exc_in_reid;
        let plane = canal_plane_yaw(headrest * n_in_head);
        PlaneTilt {
            ear: id.ear.name(),
            canal: id.canal.name(),
            tilt_deg: tidy(deg(plane_tilt_to_vertical_rad(n_in_head, down))),
            plane_yaw_deg: tidy(deg(plane.yaw_rad)),
            plane_twin_yaw_deg: tidy(deg(plane.twin_yaw_rad)),
            residual_tilt_deg: tidy(deg(plane.residual_tilt_rad)),
        }
    };
    CanalId::ALL.map(of_canal).to_vec()
}

/// The shortest drive to a pose, beside the straight way that a swing about one axis takes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DriveReport {
    /// Yaw at the end; nothing unwinds.
    pub yaw_deg: f64,
    /// Track at the end.
    pub track_deg: f64,
    /// Way of gravity in the head on the drive.
    pub driven_deg: f64,
    /// The straight way between the same directions.
    pub straight_deg: f64,
    /// Farthest that gravity leaves the straight way.
    pub apart_deg: f64,
}

/// The shortest drive from yaw and track to a pose, both axes moving at once; the headrest stays.
pub fn drive_to(posture: &Posture, from_yaw_deg: f64, from_track_deg: f64) -> DriveReport {
    let from = chair_angles(from_yaw_deg, from_track_deg, posture.headrest_deg);
    let wanted = chair_angles(posture.yaw_deg, posture.track_deg, posture.headrest_deg);
    let to = nearest_equivalent(from, down_in_head(wanted));
    let path = path_difference(from, to);
    DriveReport {
        yaw_deg: tidy(deg(to.yaw_rad)),
        track_deg: tidy(deg(to.track_rad)),
        driven_deg: tidy(deg(path.driven_rad)),
        straight_deg: tidy(deg(path.straight_rad)),
        apart_deg: tidy(deg(path.apart_rad)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{load_anatomy, posture_of_angles};
    use std::path::Path;

    /// Published normals as in the chair's table (Della Santina 2005, J Assoc Res Otolaryngol 6:191):
    /// yaw 43.9° and 136.1° lay the posterior planes into the track's but for 15.7°. The table takes
    /// Reid's plane as level, so the headrest is flexed by the 7° that it is nose-up here.
    #[test]
    fn posterior_planes_follow_from_the_published_normals() {
        let anatomy = load_anatomy("mean-adult", Path::new("")).unwrap();
        let labyrinth = Labyrinth::build(&anatomy).unwrap();
        let level = posture_of_angles(43.9, 90.0, 7.0).unwrap();
        let tilts = plane_tilts(&level, &labyrinth);
        for (ear, yaw_deg) in [("right", 43.9), ("left", 136.1)] {
            let plane = tilts
                .iter()
                .find(|t| t.ear == ear && t.canal == "posterior");
            let plane = plane.unwrap();
            assert!((plane.plane_yaw_deg - yaw_deg).abs() < 0.1, "{plane:?}");
            assert!((plane.residual_tilt_deg - 15.7).abs() < 0.1, "{plane:?}");
            // Gravity lies in the track's plane, which the canal's crosses at that tilt; lying on the side
            // in the right one's plane the long axis is level, so nothing of the tilt shows.
            if ear == "right" {
                assert!(plane.tilt_deg < 0.1, "{plane:?}");
            }
        }
        // With the long axis vertical all of the remaining part along it shows.
        let upright = posture_of_angles(0.0, 0.0, 7.0).unwrap();
        let right = plane_tilts(&upright, &labyrinth)[2];
        assert!((right.tilt_deg - 15.7).abs() < 0.1, "{right:?}");
    }

    /// By hand: yaw from 45° to 135° at track 120° runs along the circle 30° below the horizontal, 90° ·
    /// cos 30° = 77.94° long. The great circle between its ends is acos(3/4 · 0 + 1/4) = 75.52° long and
    /// its middle is at atan(tan 30° / cos 45°) = 39.23° below, 9.23° off the circle's.
    #[test]
    fn a_turn_in_head_hanging_differs_from_the_straight_way() {
        let to = posture_of_angles(135.0, 120.0, 0.0).unwrap();
        let drive = drive_to(&to, 45.0, 120.0);
        assert!((drive.yaw_deg - 135.0).abs() < 1e-6 && (drive.track_deg - 120.0).abs() < 1e-6);
        assert!((drive.driven_deg - 77.942).abs() < 1e-3, "{drive:?}");
        assert!((drive.straight_deg - 75.522).abs() < 1e-3, "{drive:?}");
        assert!((drive.apart_deg - 9.232).abs() < 1e-3, "{drive:?}");
        // The track alone goes straight.
        let back = drive_to(&posture_of_angles(45.0, 120.0, 0.0).unwrap(), 45.0, 0.0);
        assert!(
            (back.driven_deg - 120.0).abs() < 1e-6 && back.apart_deg < 1e-6,
            "{back:?}"
        );
    }
}
