//! How the head lies, in words, from the direction of gravity in it.

use lithodrome_labyrinth::Vec3;

/// Within this of the vertical the head counts as upright, degrees.
const UPRIGHT_DEG: f64 = 8.0;
/// Up to this out of the vertical a head is upright, and how it leans is said; leaned back by 45° its bearer lies.
const LEANING_DEG: f64 = 46.0;
const LEANING_BACK_DEG: f64 = 44.0;
/// A smaller part of a lean is not told, degrees.
const LEAN_TOLD_DEG: f64 = 5.0;
/// Within this of face up, face down or an ear down it is called so, degrees.
const STRAIGHT_DEG: f64 = 10.0;

/// "Face up, turned 45° to the right, 30° below the horizontal".
pub(super) fn posture_words(down_in_head: Vec3) -> String {
    let down = down_in_head.normalize();
    let below_deg = down.z.clamp(-1.0, 1.0).asin().to_degrees();
    if below_deg < UPRIGHT_DEG - 90.0 {
        return "Upright".to_owned();
    }
    let leans_back = down.x < -0.05;
    let leaning_deg = if leans_back {
        LEANING_BACK_DEG
    } else {
        LEANING_DEG
    };
    if below_deg < leaning_deg - 90.0 {
        return format!("Upright, {}", leaning_words(down));
    }
    if below_deg > 90.0 - UPRIGHT_DEG {
        return "Upside down".to_owned();
    }
    format!("{}, {}", facing_words(down), level_words(below_deg))
}

/// "chin 30° down", "head tilted 20° to the right", or both: pitched first, then tilted.
fn leaning_words(down: Vec3) -> String {
    let chin_deg = f64::atan2(down.x, -down.z).to_degrees();
    let tilt_deg = (-down.y).clamp(-1.0, 1.0).asin().to_degrees();
    let way = if chin_deg > 0.0 { "down" } else { "up" };
    let side = if tilt_deg > 0.0 { "right" } else { "left" };
    let (chin_deg, tilt_deg) = (chin_deg.abs(), tilt_deg.abs());
    let parts = [
        (chin_deg, format!("chin {chin_deg:.0}° {way}")),
        (
            tilt_deg,
            format!("head tilted {tilt_deg:.0}° to the {side}"),
        ),
    ];
    let told = parts.into_iter().filter(|(deg, _)| *deg >= LEAN_TOLD_DEG);
    told.map(|(_, words)| words).collect::<Vec<_>>().join(", ")
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
            // Sitting: sin 30° = 0.5, sin 20° = 0.342, sin 45° = 0.707.
            ([0.5, 0.0, -0.866], "Upright, chin 30° down"),
            ([-0.5, 0.0, -0.866], "Upright, chin 30° up"),
            (
                [0.0, -0.342, -0.940],
                "Upright, head tilted 20° to the right",
            ),
            ([0.0, 0.707, -0.707], "Upright, head tilted 45° to the left"),
            // Chin 30° down, then tilted by 20°: (sin 30° cos 20°, −sin 20°, −cos 30° cos 20°).
            (
                [0.470, -0.342, -0.814],
                "Upright, chin 30° down, head tilted 20° to the right",
            ),
            // On the back with the head raised.
            (
                [-0.707, 0.0, -0.707],
                "Face up, head 45° above the horizontal",
            ),
            (
                [0.866, 0.0, -0.5],
                "Face down, head 30° above the horizontal",
            ),
        ];
        for (down, words) in cases {
            assert_eq!(posture_words(Vec3::from(down)), words);
        }
    }

    /// Yaw 270° with track 30°, and the like, as the files have them: a patient who sits is never said to lie.
    #[test]
    fn sitting_postures_of_the_library_are_upright() {
        let cases = [
            ("right-lateral-head-shaking", 0, "Upright, chin 30° down"),
            ("left-lateral-head-shaking", 0, "Upright, chin 30° down"),
            ("right-posterior-epley-bedside", 4, "Upright, chin 30° down"),
            ("left-posterior-epley-bedside", 4, "Upright, chin 30° down"),
            (
                "right-anterior-short-repositioning",
                5,
                "Upright, chin 30° down",
            ),
            ("head-pitch", 1, "Upright, chin 30° up"),
            ("head-pitch", 4, "Face down, head 30° above the horizontal"),
            (
                "right-anterior-deep-head-hanging",
                2,
                "Face up, head 45° above the horizontal",
            ),
            (
                "right-supine-roll",
                0,
                "Face up, head 30° above the horizontal",
            ),
        ];
        for (name, step, words) in cases {
            let scenario = lithodrome_rehearsal::library_entry(name)
                .unwrap()
                .unwrap()
                .scenario;
            let compiled = lithodrome_rehearsal::compile(&scenario, "".as_ref()).unwrap();
            let time_s = compiled.motion.times()[step].end_s;
            let down = compiled.motion.at(time_s).down_in_head;
            assert_eq!(posture_words(down), words, "{name}");
        }
    }
}
