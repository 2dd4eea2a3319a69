//! What a sequence asks of a patient: time in the chair, the head's lowest place, turning.

use lithodrome_chair::HeadMotion;
use lithodrome_rehearsal::units::tidy;
use serde::{Deserialize, Serialize};

/// Samples of every move; even, so that the fastest moment in the middle is one of them.
const SAMPLES: usize = 200;

/// What a sequence asks of a patient, as written.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Strain {
    /// From its beginning to its end, s.
    pub duration_s: f64,
    /// Farthest that the crown of the head is below the horizontal, degrees; 0 if it never is.
    pub lowest_head_deg: f64,
    /// How far below the horizontal the crown is at its lowest, degrees; negative where it stays above. Limits
    /// are held against it.
    #[serde(default)]
    pub crown_below_deg: f64,
    /// Time with the crown below the horizontal, s.
    pub inverted_s: f64,
    /// The longest of it in one go, s. Limits are held against it.
    #[serde(default)]
    pub longest_inverted_s: f64,
    /// All turning of the head, whatever its axis, degrees.
    pub turning_deg: f64,
    /// Fastest turning, deg/s.
    pub fastest_deg_s: f64,
}

impl Strain {
    /// Of a motion.
    pub fn of(motion: &HeadMotion) -> Strain {
        let (mut lowest, mut inverted_s, mut turning_rad, mut fastest_rad_s) =
            (-1.0_f64, 0.0, 0.0, 0.0_f64);
        let (mut in_one_go_s, mut longest_s) = (0.0, 0.0_f64);
        for times in motion.times() {
            let move_s = times.hold_from_s - times.start_s;
            let fine = (move_s / motion.longest_step_s(times.start_s)).ceil();
            let samples = SAMPLES.max(2 * (0.5 * fine) as usize);
            let in_move = (0..=samples).map(|i| times.start_s + move_s * i as f64 / samples as f64);
            let mut before: Option<(f64, f64, f64)> = None;
            for time_s in in_move.chain([times.end_s]) {
                let pose = motion.at(time_s);
                let now = (
                    time_s,
                    pose.down_in_head.z,
                    pose.angular_velocity_in_head_rad_s.norm(),
                );
                lowest = lowest.max(now.1);
                fastest_rad_s = fastest_rad_s.max(now.2);
                if let Some(before) = before {
                    let step_s = now.0 - before.0;
                    let below_s = step_s * share_below(before.1, now.1);
                    inverted_s += below_s;
                    in_one_go_s += below_s;
                    longest_s = longest_s.max(in_one_go_s);
                    if share_below(now.1, now.1) == 0.0 {
                        in_one_go_s = 0.0;
                    }
                    // A hold turns nothing, whatever the speed at which its move ended.
                    if now.0 <= times.hold_from_s {
                        turning_rad += 0.5 * step_s * (before.2 + now.2);
                    }
                }
                before = Some(now);
            }
        }
        Strain {
            duration_s: tidy(motion.duration_s()),
            lowest_head_deg: tidy(lowest.clamp(0.0, 1.0).asin().to_degrees()),
            crown_below_deg: tidy(lowest.clamp(-1.0, 1.0).asin().to_degrees()),
            inverted_s: tidy(inverted_s),
            longest_inverted_s: tidy(longest_s),
            turning_deg: tidy(turning_rad.to_degrees()),
            fastest_deg_s: tidy(fastest_rad_s.to_degrees()),
        }
    }
}

/// Share of a straight way from one height to another that lies below the horizontal; half a minute of
/// arc is above the rounding of angles.
fn share_below(from: f64, to: f64) -> f64 {
    const BELOW: f64 = 1.5e-4;
    match (from > BELOW, to > BELOW) {
        (true, true) => 1.0,
        (false, false) => 0.0,
        (true, false) => (from - BELOW) / (from - to),
        (false, true) => (to - BELOW) / (to - from),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lithodrome_chair::{ChairAngles, Lever, MoveProfile, Step};

    /// Hand calculation: 120° back in 4 s, 30 s there, up again in 4 s, 6 s of sitting. The crown is
    /// below the horizontal from 90° on: minimum jerk passes 3/4 of its way at 0.64056 of its time (root
    /// of 10u³ − 15u⁴ + 6u⁵ = 0.75).
    #[test]
    fn a_head_hang_is_as_by_hand() {
        let step = |track: f64, hold_s| Step {
            name: String::new(),
            to: ChairAngles {
                yaw_rad: 0.0,
                track_rad: track.to_radians(),
                headrest_flexion_rad: 0.0,
            },
            move_s: 4.0,
            hold_s,
        };
        let motion = HeadMotion::new(
            ChairAngles::default(),
            vec![step(120.0, 30.0), step(0.0, 6.0)],
            MoveProfile::MinimumJerk,
            Lever::default(),
        )
        .unwrap();
        let strain = Strain::of(&motion);
        assert!((strain.duration_s - 44.0).abs() < 1e-9);
        assert!((strain.lowest_head_deg - 30.0).abs() < 1e-6);
        assert!((strain.turning_deg - 240.0).abs() < 0.01, "{strain:?}");
        // 15/8 of the mean speed.
        assert!((strain.fastest_deg_s - 30.0 * 1.875).abs() < 0.01);
        let u: f64 = 0.64056;
        assert!((10.0 * u.powi(3) - 15.0 * u.powi(4) + 6.0 * u.powi(5) - 0.75).abs() < 1e-3);
        let by_hand = 30.0 + 2.0 * 4.0 * (1.0 - u);
        assert!((strain.inverted_s - by_hand).abs() < 0.01, "{strain:?}");
        assert!((strain.longest_inverted_s - by_hand).abs() < 0.01);
        assert!((strain.crown_below_deg - 30.0).abs() < 1e-6);
        // Twice the same is as long in one go; leaning back by 30° leaves the crown 60° above the horizontal.
        let twice = [(120.0, 30.0), (0.0, 6.0), (120.0, 20.0), (0.0, 6.0)];
        let sitting = [(30.0, 10.0), (0.0, 6.0)];
        let of = |steps: &[(f64, f64)]| {
            let steps = steps.iter().map(|&(track, hold_s)| step(track, hold_s));
            let start = ChairAngles::default();
            let profile = MoveProfile::MinimumJerk;
            let motion = HeadMotion::new(start, steps.collect(), profile, Lever::default());
            Strain::of(&motion.unwrap())
        };
        let (twice, sitting) = (of(&twice), of(&sitting));
        assert!((twice.longest_inverted_s - by_hand).abs() < 0.01);
        assert!((twice.inverted_s - 2.0 * by_hand + 10.0).abs() < 0.02);
        assert!((sitting.crown_below_deg + 60.0).abs() < 1e-6, "{sitting:?}");
        assert!(sitting.lowest_head_deg == 0.0 && sitting.longest_inverted_s == 0.0);
    }
}
