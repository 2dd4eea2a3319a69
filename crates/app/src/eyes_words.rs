//! What the eyes do at one moment, in words.

use lithodrome_labyrinth::Vec3;

/// Slow-phase speed below which a part is not seen, rad/s (3°/s).
const VISIBLE_RAD_S: f64 = 3.0 * std::f64::consts::PI / 180.0;
/// Share of the strongest part below which a part is not named.
const NAMED_SHARE: f64 = 0.45;

/// The sentence for a slow phase (rad/s; +x upper poles right, +y down, +z left).
pub fn sentence_now(slow_phase_rad_s: Vec3) -> String {
    // The fast phase, by which a beat is named, goes the other way.
    let fast = -slow_phase_rad_s;
    let strongest = fast.amax();
    let named = |part: f64| part.abs() >= VISIBLE_RAD_S && part.abs() >= NAMED_SHARE * strongest;
    let mut words: Vec<&str> = Vec::new();
    if named(fast.y) {
        words.push(if fast.y > 0.0 { "down" } else { "up" });
    }
    if named(fast.z) {
        words.push(if fast.z > 0.0 {
            "to the left"
        } else {
            "to the right"
        });
    }
    if named(fast.x) {
        words.push(if fast.x > 0.0 {
            "with the upper poles toward the right ear"
        } else {
            "with the upper poles toward the left ear"
        });
    }
    let speed = slow_phase_rad_s.norm().to_degrees();
    match words.as_slice() {
        [] => "No nystagmus to be seen.".to_owned(),
        [one] => format!("Beating {one}, {speed:.0}°/s."),
        [first, second] => format!("Beating {first} and {second}, {speed:.0}°/s."),
        [first, second, third, ..] => {
            format!("Beating {first}, {second} and {third}, {speed:.0}°/s.")
        }
    }
}

/// How much of the debris is still in the canals.
pub fn clearing(inside: usize, all: usize, canal: &str) -> String {
    match (inside, all) {
        (_, 0) => "There is no debris in this case.".to_owned(),
        (0, 1) => format!("The one piece has left the {canal}."),
        (0, n) => format!("All {n} pieces have left the {canal}."),
        (1, 1) => format!("The one piece is still in the {canal}."),
        (k, n) if k == n => format!("All {n} pieces are still in the {canal}."),
        (k, n) => format!("{k} of {n} pieces still in the {canal}."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn excited_right_posterior_canal() {
        // Upbeat, upper poles toward the affected (right) ear (Balatsouras 2011, Table 1): the fast
        // phase turns about n_exc = (0.694, −0.667, 0.270), the slow phase the other way.
        let slow = -Vec3::new(0.694, -0.667, 0.270) * 20f64.to_radians();
        assert_eq!(
            sentence_now(slow),
            "Beating up and with the upper poles toward the right ear, 20°/s."
        );
    }

    #[test]
    fn weak_is_not_seen() {
        let slow = Vec3::new(0.0, 2f64.to_radians(), 0.0);
        assert_eq!(sentence_now(slow), "No nystagmus to be seen.");
    }

    #[test]
    fn counts_in_words() {
        assert_eq!(clearing(0, 8, "x"), "All 8 pieces have left the x.");
        assert_eq!(clearing(3, 8, "x"), "3 of 8 pieces still in the x.");
    }
}
