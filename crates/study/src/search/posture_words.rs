//! A posture by what the patient does: which side of the head points to the floor, and where the crown is.

use lithodrome_labyrinth::Vec3;

/// Nearer than this to the long axis, degrees, there is no side.
const LONG_AXIS_DEG: f64 = 10.0;

/// The posture with gravity in this direction of the head, unit.
pub(super) fn posture_words(down_in_head: Vec3) -> String {
    let below_deg = down_in_head.z.clamp(-1.0, 1.0).asin().to_degrees();
    if below_deg < LONG_AXIS_DEG - 90.0 {
        return "Upright".to_owned();
    }
    if below_deg > 90.0 - LONG_AXIS_DEG {
        return "Upside down".to_owned();
    }
    let toward_left_deg = down_in_head.y.atan2(down_in_head.x).to_degrees();
    let eighth = (toward_left_deg / 45.0).round() as i32;
    let side = match eighth.rem_euclid(8) {
        0 => "Nose down",
        1 => "Nose and left ear down",
        2 => "Left ear down",
        3 => "Back of the head and left ear down",
        4 => "Back of the head down",
        5 => "Back of the head and right ear down",
        6 => "Right ear down",
        _ => "Nose and right ear down",
    };
    let crown = below_deg.round();
    if crown > 0.0 {
        format!("{side}, crown {crown:.0}° below the horizontal")
    } else if crown < 0.0 {
        format!("{side}, crown {:.0}° above the horizontal", -crown)
    } else {
        format!("{side}, crown level")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dix_hallpike_is_told_by_ear_and_crown() {
        // Right Dix-Hallpike: (−√6/4, −√6/4, 1/2), as in the chair's own test.
        let hanging = Vec3::new(-6_f64.sqrt() / 4.0, -6_f64.sqrt() / 4.0, 0.5);
        assert_eq!(
            posture_words(hanging),
            "Back of the head and right ear down, crown 30° below the horizontal"
        );
        assert_eq!(posture_words(-Vec3::z()), "Upright");
        assert_eq!(posture_words(Vec3::z()), "Upside down");
        assert_eq!(posture_words(Vec3::y()), "Left ear down, crown level");
        let leaning = Vec3::new(0.5, 0.0, -0.75_f64.sqrt());
        assert_eq!(
            posture_words(leaning),
            "Nose down, crown 60° above the horizontal"
        );
    }
}
