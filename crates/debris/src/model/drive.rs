//! What the head's motion does to the ears.

use lithodrome_labyrinth::Vec3;

/// What the head's motion does to one ear at one time, Reid axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Drive {
    /// Gravity less the ear's own acceleration, mm/s², `[ear]`.
    pub(crate) pull_mm_s2: [Vec3; 2],
    /// The head's angular velocity, rad/s.
    pub(crate) turning_rad_s: Vec3,
}

impl Drive {
    /// The head's angular acceleration at a share of the way through three drives, rad/s².
    pub(crate) fn acceleration([a, mid, b]: [&Drive; 3], share: f64, dt_s: f64) -> Vec3 {
        let [a, mid, b] = [a, mid, b].map(|d| d.turning_rad_s);
        (a * (4.0 * share - 3.0) + mid * (4.0 - 8.0 * share) + b * (4.0 * share - 1.0)) / dt_s
    }

    /// The drive at a share of the way from the first to the last of three, with the second half way.
    pub(crate) fn between([a, mid, b]: [&Drive; 3], share: f64) -> Drive {
        let (to_a, to_mid, to_b) = (
            (1.0 - share) * (1.0 - 2.0 * share),
            4.0 * share * (1.0 - share),
            share * (2.0 * share - 1.0),
        );
        let blend = |a: Vec3, mid: Vec3, b: Vec3| a * to_a + mid * to_mid + b * to_b;
        Drive {
            pull_mm_s2: [0, 1].map(|i| blend(a.pull_mm_s2[i], mid.pull_mm_s2[i], b.pull_mm_s2[i])),
            turning_rad_s: blend(a.turning_rad_s, mid.turning_rad_s, b.turning_rad_s),
        }
    }
}
