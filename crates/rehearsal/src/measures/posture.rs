//! One pose of the chair and the way gravity then points in the head; the JSON of `pose --json`.

use lithodrome_chair::{angles_for_down_with_headrest, down_in_head};
use lithodrome_labyrinth::Vec3;
use serde::Serialize;

use crate::error::FieldError;
use crate::units::{chair_angles, deg, rad, tidy};

/// A pose, by its angles and by gravity in the head.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Posture {
    /// Yaw; 0 if it was asked for and is free.
    pub yaw_deg: f64,
    /// Track.
    pub track_deg: f64,
    /// Flexion of the headrest.
    pub headrest_deg: f64,
    /// Gravity, unit vector in head axes.
    pub down_in_head: [f64; 3],
    /// The other angles with the same gravity: yaw half a turn on, track the other way.
    pub twin: Twin,
    /// The patient's long axis is vertical, so that yaw does not turn gravity in the head.
    pub yaw_free: bool,
}

/// The other angles of a pose.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Twin {
    /// Yaw.
    pub yaw_deg: f64,
    /// Track.
    pub track_deg: f64,
}

/// The long axis counts as vertical within this, degrees: far below what a chair can set.
const VERTICAL_DEG: f64 = 1e-6;

/// The posture of chair angles in degrees.
pub fn posture_of_angles(
    yaw_deg: f64,
    track_deg: f64,
    headrest_deg: f64,
) -> Result<Posture, FieldError> {
    for (field, found) in [
        ("yaw", yaw_deg),
        ("track", track_deg),
        ("headrest", headrest_deg),
    ] {
        if !found.is_finite() {
            return Err(FieldError::new(field, &found, "a finite number of degrees"));
        }
    }
    let down = down_in_head(chair_angles(yaw_deg, track_deg, headrest_deg));
    Ok(Posture {
        yaw_deg,
        track_deg,
        headrest_deg,
        down_in_head: [tidy(down.x), tidy(down.y), tidy(down.z)],
        twin: Twin {
            yaw_deg: tidy(yaw_deg + 180.0),
            track_deg: tidy(-track_deg),
        },
        yaw_free: (track_deg - 180.0 * (track_deg / 180.0).round()).abs() < VERTICAL_DEG,
    })
}

/// The posture with track 0° to 180° in which a direction of the head points down; its length is
/// without meaning.
pub fn posture_of_down(down: [f64; 3], headrest_deg: f64) -> Result<Posture, FieldError> {
    let vector = Vec3::from(down);
    let largest = vector.amax();
    if !down.iter().all(|x| x.is_finite()) || largest == 0.0 {
        let found = down.map(|x| x.to_string()).join(",");
        let allowed = "three finite numbers that are not all 0";
        return Err(FieldError::new("down", &found, allowed));
    }
    // Scaled first, so that squares neither overflow nor vanish.
    let unit = (vector / largest).normalize();
    let solution = angles_for_down_with_headrest(unit, rad(headrest_deg));
    let (yaw_deg, track_deg) = (deg(solution.yaw_rad), deg(solution.track_rad));
    let posture = posture_of_angles(tidy(yaw_deg), tidy(track_deg), headrest_deg)?;
    Ok(Posture {
        down_in_head: [tidy(unit.x), tidy(unit.y), tidy(unit.z)],
        yaw_free: solution.yaw_free,
        ..posture
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: [f64; 3], b: [f64; 3]) {
        for (x, y) in a.iter().zip(b) {
            assert!((x - y).abs() < 1e-8, "{a:?} for {b:?}");
        }
    }

    #[test]
    fn right_dix_hallpike_both_ways() {
        // (−sin 120° sin 45°, −sin 120° cos 45°, −cos 120°) = (−√6/4, −√6/4, 1/2).
        let down = [-6_f64.sqrt() / 4.0, -6_f64.sqrt() / 4.0, 0.5];
        let there = posture_of_angles(45.0, 120.0, 0.0).unwrap();
        near(there.down_in_head, down);
        assert_eq!((there.twin.yaw_deg, there.twin.track_deg), (225.0, -120.0));
        assert!(!there.yaw_free);
        let back = posture_of_down(down.map(|x| 7.0 * x), 0.0).unwrap();
        assert!((back.yaw_deg - 45.0).abs() < 1e-8 && (back.track_deg - 120.0).abs() < 1e-8);
        near(back.down_in_head, down);
    }

    #[test]
    fn yaw_is_free_when_the_long_axis_is_vertical() {
        for track_deg in [0.0, 180.0, -360.0] {
            assert!(posture_of_angles(30.0, track_deg, 0.0).unwrap().yaw_free);
        }
        let upright = posture_of_down([0.0, 0.0, -2.0], 0.0).unwrap();
        assert!(upright.yaw_free);
        assert_eq!((upright.yaw_deg, upright.track_deg), (0.0, 0.0));
    }

    #[test]
    fn a_flexed_headrest_goes_there_and_back() {
        let there = posture_of_angles(-100.0, 70.0, 30.0).unwrap();
        let back = posture_of_down(there.down_in_head, 30.0).unwrap();
        assert!((back.yaw_deg + 100.0).abs() < 1e-6 && (back.track_deg - 70.0).abs() < 1e-6);
    }

    #[test]
    fn no_direction_and_no_number_are_refused() {
        for bad in [[0.0; 3], [f64::NAN, 0.0, 1.0], [f64::INFINITY, 0.0, 0.0]] {
            let message = posture_of_down(bad, 0.0).unwrap_err().to_string();
            assert!(message.starts_with("down: found"), "{message}");
        }
        assert!(posture_of_angles(f64::NAN, 0.0, 0.0).is_err());
        posture_of_down([1e-200, 0.0, -1e-200], 0.0).unwrap();
    }
}
