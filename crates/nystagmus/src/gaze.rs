//! Where the eyes point: slow phases carry them off, quick phases bring them back.

use lithodrome_labyrinth::{Vec3, length};

/// Way of one slow phase after which a quick phase follows, rad: 8° (mean, from memory).
const AMPLITUDE_RAD: f64 = 8.0 * DEG;
/// Time after which a quick phase follows at the latest, s (from memory).
const INTERVAL_S: f64 = 0.6;
/// A slow phase shorter than this is not reset by time alone, rad (assumed).
const LEAST_RAD: f64 = 0.3 * DEG;
/// An eye that stands off centre by more than this and is not driven goes back there, rad (assumed).
const OFF_CENTRE_RAD: f64 = 1.0 * DEG;
/// Velocity of a quick phase, rad/s: within 250 to 400 deg/s (from memory).
const QUICK_RAD_S: f64 = 300.0 * DEG;
/// Farthest an eye turns from straight ahead, rad (from memory).
const ORBIT_RAD: f64 = 45.0 * DEG;
/// Time step, s: a quick phase of 8° takes 27 ms.
const STEP_S: f64 = 0.005;
const DEG: f64 = std::f64::consts::PI / 180.0;

/// Eye position with quick phases. Nothing is left to chance: the same slow phases give the same beats.
///
/// A slow phase ends when it has gone 8° or lasted 0.6 s; the quick phase then goes past the centre by
/// half the way, so that the eyes beat about straight ahead (amplitude and time set the end jointly:
/// Waddington & Harris 2013, for optokinetic nystagmus).
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Gaze {
    /// Rotation from straight ahead, rad, eye axes.
    pub position_rad: Vec3,
    slow_from_rad: Vec3,
    slow_since_s: f64,
    quick_to_rad: Option<Vec3>,
}

impl Gaze {
    /// Moves the eyes for `dt_s` while the slow-phase velocity goes straight from one value to another.
    pub fn advance(&mut self, dt_s: f64, from_rad_s: Vec3, to_rad_s: Vec3) {
        let n = (dt_s / STEP_S).ceil().max(0.0) as u32;
        let h_s = dt_s / f64::from(n.max(1));
        for i in 0..n {
            let share = (f64::from(i) + 0.5) / f64::from(n);
            self.step(h_s, from_rad_s + (to_rad_s - from_rad_s) * share);
        }
    }

    fn step(&mut self, h_s: f64, slow_phase_rad_s: Vec3) {
        if let Some(target) = self.quick_to_rad {
            let left = target - self.position_rad;
            let reach = QUICK_RAD_S * h_s;
            let left_rad = length(&left);
            if left_rad > reach {
                self.position_rad += left * (reach / left_rad);
            } else {
                *self = Gaze {
                    position_rad: target,
                    slow_from_rad: target,
                    ..Gaze::default()
                };
            }
            return;
        }
        self.position_rad = at_most(self.position_rad + slow_phase_rad_s * h_s, ORBIT_RAD);
        self.slow_since_s += h_s;
        let way = self.position_rad - self.slow_from_rad;
        let way_rad = length(&way);
        let in_time = self.slow_since_s >= INTERVAL_S;
        if way_rad >= AMPLITUDE_RAD || (in_time && way_rad >= LEAST_RAD) {
            self.quick_to_rad = Some(at_most(way * -0.5, AMPLITUDE_RAD));
        } else if in_time && length(&self.position_rad) > OFF_CENTRE_RAD {
            self.quick_to_rad = Some(Vec3::zeros());
        }
    }
}

/// A rotation, or as much of it as `most_rad`.
fn at_most(rotation_rad: Vec3, most_rad: f64) -> Vec3 {
    let size_rad = length(&rotation_rad);
    if size_rad > most_rad {
        rotation_rad * (most_rad / size_rad)
    } else {
        rotation_rad
    }
}
