//! Where a seated patient's mass is, and what the operator has to hold against.

use serde::{Deserialize, Serialize};

/// Weight of a kilogram, N.
const G_N_KG: f64 = 9.81;

/// A body's size.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct BodySize {
    /// Weight.
    pub weight_kg: f64,
    /// Height.
    pub height_cm: f64,
}

/// Centre of mass of a seated body, from the middle between the hip joints, cm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MassCentre {
    /// Toward the knees.
    pub forward_cm: f64,
    /// Toward the head.
    pub up_cm: f64,
}

/// A segment of a seated body: share of the mass, place of its centre forward and up from the hips in
/// shares of the height.
///
/// # Source
/// Shares of mass and places of centres along the segments: Dempster's, as tabled in Winter 2009,
/// Biomechanics and Motor Control of Human Movement, table 4.1; lengths by height: Drillis & Contini 1966,
/// as drawn there in figure 4.1 (both from memory). Seated upright, thighs level, shanks down, upper arms
/// down, forearms level: assumed. Limbs stand for both sides.
const SEGMENTS: [(&str, f64, [f64; 2]); 8] = [
    // Hip to shoulder 0.288 of the height, centre in its middle.
    ("trunk", 0.497, [0.0, 0.144]),
    // Centre at the ear canal, 0.936 of the height when standing, the hip at 0.530.
    ("head and neck", 0.081, [0.0, 0.406]),
    // 0.186 long, centre at 0.436 from the shoulder.
    ("upper arms", 0.056, [0.0, 0.207]),
    // 0.146 long, centre at 0.430 from the elbow.
    ("forearms", 0.032, [0.063, 0.102]),
    // Centre at 0.506 of 0.108 from the wrist.
    ("hands", 0.012, [0.201, 0.102]),
    // 0.245 long, centre at 0.433 from the hip.
    ("thighs", 0.200, [0.106, 0.0]),
    // 0.246 long, centre at 0.433 from the knee.
    ("shanks", 0.093, [0.245, -0.1065]),
    // Middle of the foot before and below the ankle.
    ("feet", 0.029, [0.295, -0.266]),
];

/// The centre of mass of a seated body; shares of the height, so it does not depend on the weight.
pub fn mass_centre(body: BodySize) -> MassCentre {
    let sum = |k: usize| {
        SEGMENTS
            .iter()
            .map(|(_, mass, at)| mass * at[k])
            .sum::<f64>()
    };
    MassCentre {
        forward_cm: sum(0) * body.height_cm,
        up_cm: sum(1) * body.height_cm,
    }
}

/// How a patient sits in the track and what is left to hold.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Balance {
    /// Centre of mass from the hips.
    pub centre: MassCentre,
    /// Where the hips belong: so far below the middle of the track, cm.
    pub hips_below_middle_cm: f64,
    /// And so far behind it.
    pub hips_behind_middle_cm: f64,
    /// How far off the middle the centre of mass was taken to be.
    pub off_cm: f64,
    /// Torque about the track's axis at 0°, 15°, ... 345° of track, N·m, if the centre is off along the
    /// patient's long axis.
    pub torque_n_m: Vec<f64>,
    /// The largest.
    pub largest_torque_n_m: f64,
    /// The force at the rim against it, N.
    pub rim_force_n: f64,
    /// The most that the user wants to hold, N.
    pub allowed_n: f64,
    /// How far off the centre may be for that, cm.
    pub allowed_off_cm: f64,
}

impl Balance {
    /// The force is within the user's limit.
    pub fn is_within(&self) -> bool {
        self.rim_force_n <= self.allowed_n
    }
}

/// The torque that is left when the centre of mass is off the middle of the track by so much along the
/// long axis, and the force at a rim of this radius. The chair itself counts as balanced. Local rules
/// for lifting and pushing apply.
///
/// # Equation
/// At track θ the centre is m·off·sin θ beside the axis: τ = m g off sin θ; force = τ / radius.
pub fn balance(body: BodySize, off_cm: f64, rim_radius_cm: f64, allowed_n: f64) -> Balance {
    let centre = mass_centre(body);
    let weight_n = body.weight_kg * G_N_KG;
    let torque = |deg: f64| weight_n * off_cm / 100.0 * deg.to_radians().sin();
    let torque_n_m: Vec<f64> = (0..24).map(|k| torque(15.0 * f64::from(k))).collect();
    let largest = torque(90.0).abs();
    Balance {
        centre,
        hips_below_middle_cm: centre.up_cm,
        hips_behind_middle_cm: centre.forward_cm,
        off_cm,
        torque_n_m,
        largest_torque_n_m: largest,
        rim_force_n: largest / (rim_radius_cm / 100.0),
        allowed_n,
        allowed_off_cm: allowed_n * rim_radius_cm / weight_n,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand for 70 kg and 165 cm. Forward: 0.032·0.063 + 0.012·0.201 + 0.2·0.106 + 0.093·0.245 +
    /// 0.029·0.295 = 0.002016 + 0.002412 + 0.0212 + 0.022785 + 0.008555 = 0.056968 of the height, 9.40 cm.
    /// Up: 0.497·0.144 + 0.081·0.406 + 0.056·0.207 + 0.032·0.102 + 0.012·0.102 − 0.093·0.1065 −
    /// 0.029·0.266 = 0.071568 + 0.032886 + 0.011592 + 0.003264 + 0.001224 − 0.0099045 − 0.007714 =
    /// 0.1029155, 16.98 cm. Off by 2 cm: 70·9.81·0.02 = 13.73 N·m, at a rim of 95 cm 14.46 N; for 40 N it
    /// may be off by 40·95/686.7 = 5.53 cm.
    #[test]
    fn the_worked_example_comes_out() {
        let body = BodySize {
            weight_kg: 70.0,
            height_cm: 165.0,
        };
        let found = balance(body, 2.0, 95.0, 40.0);
        assert!(
            (found.hips_behind_middle_cm - 9.40).abs() < 0.01,
            "{found:?}"
        );
        assert!(
            (found.hips_below_middle_cm - 16.98).abs() < 0.01,
            "{found:?}"
        );
        assert!((found.largest_torque_n_m - 13.73).abs() < 0.01);
        assert!((found.rim_force_n - 14.46).abs() < 0.01 && found.is_within());
        assert!((found.allowed_off_cm - 5.53).abs() < 0.01);
        // Half at 30° of track, none upright, the other way below.
        assert!((found.torque_n_m[2] - 6.87).abs() < 0.01);
        assert!(found.torque_n_m[0].abs() < 1e-9);
        assert!((found.torque_n_m[18] + 13.73).abs() < 0.01);
        let whole: f64 = SEGMENTS.iter().map(|s| s.1).sum();
        assert!((whole - 1.0).abs() < 1e-9);
    }
}
