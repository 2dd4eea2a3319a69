//! How the head lies, in words, from the direction of gravity in it.

use lithodrome_labyrinth::Vec3;

/// Within this of the vertical the head counts as upright, degrees.
const UPRIGHT_DEG: f64 = 8.0;
/// Within this of face up, face down or an ear down it is called so, degrees.
const STRAIGHT_DEG: f64 = 10.0;

/// "Face up, turned 45° to the right, 30° below the horizontal".
pub(super) fn posture_words(down_in_head: Vec3) -> String {
    let down = down_in_head.normalize();
    let below_deg = down.z.clamp(-1.0, 1.0).asin().to_degrees();
    if below_deg < UPRIGHT_DEG - 90.0 {
        return "Upright".to_owned();
    }
    if below_deg > 90.0 - UPRIGHT_DEG {
        return "Upside down".to_owned();
    }
    format!("{}, {}", facing_words(down), level_words(below_deg))
}

/// Which part of the head is lowest: 0° face up, 90° right ear down, −90° left ear down.
fn facing_words(down: Vec3) -> String {
    let turn_deg = f64::atan2(-down.y, -down.x).to_degrees();
    let side = if turn_deg > 0.0 { "right" } else { "left" };
    let turn_deg = turn_deg.abs();
    if turn_deg <= STRAIGHT_DEG {
        "Face up".to_owned()
    } else if turn_deg < 90.0 - STRAIGHT_DEG {
        format!("Face up, turned {turn_deg:.0}° to the {side}")
    } else if turn_deg <= 90.0 + STRAIGHT_DEG {
        let side_up = if side == "right" { "Right" } else { "Left" };
        format!("{side_up} ear down")
    } else if turn_deg < 180.0 - STRAIGHT_DEG {
        let nose_deg = turn_deg - 90.0;
        format!("On the {side} side, nose {nose_deg:.0}° to the floor")
    } else {
        "Face down".to_owned()
    }
}

fn level_words(below_deg: f64) -> String {
    if below_deg.abs() < 1.5 {
        "head level".to_owned()
    } else if below_deg > 0.0 {
        format!("head {below_deg:.0}° below the horizontal")
    } else {
        format!("head {:.0}° above the horizontal", -below_deg)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Directions worked out by hand from yaw and track: down = (−sin θ sin ψ, −sin θ cos ψ, −cos θ).
    #[test]
    fn postures_are_named_as_at_the_bedside() {
        let cases = [
            ([0.0, 0.0, -1.0], "Upright"),
            ([0.0, 0.0, 1.0], "Upside down"),
            (
                [-0.612, -0.612, 0.5],
                "Face up, turned 45° to the right, head 30° below the horizontal",
            ),
            (
                [-0.612, 0.612, 0.5],
                "Face up, turned 45° to the left, head 30° below the horizontal",
            ),
            ([-1.0, 0.0, 0.0], "Face up, head level"),
            (
                [-0.866, 0.0, -0.5],
                "Face up, head 30° above the horizontal",
            ),
            ([0.0, -1.0, 0.0], "Right ear down, head level"),
            (
                [0.707, 0.707, 0.0],
                "On the left side, nose 45° to the floor, head level",
            ),
            ([1.0, 0.0, 0.0], "Face down, head level"),
        ];
        for (down, words) in cases {
            assert_eq!(posture_words(Vec3::from(down)), words);
        }
    }
}
