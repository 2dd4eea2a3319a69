//! Two axes that follow a hand with inertia, and stop by themselves when it lets go.

use crate::pose::{ChairAngles, HeadPose, Lever, down_in_head, room_from_head};
use lithodrome_labyrinth::Vec3;

/// Time in which the speed of an axis follows the hand, s (assumed: a seated adult in a heavy frame).
const FOLLOW_S: f64 = 0.3;
/// Highest acceleration by hand, rad/s² (assumed: 90°/s²).
const PUSH_RAD_S2: f64 = 1.571;
/// Braking when the hand lets go, rad/s² (assumed: 150°/s², within what a strapped patient bears).
const BRAKE_RAD_S2: f64 = 2.618;
/// Highest speed by hand, rad/s (assumed: 120°/s).
pub const FASTEST_RAD_S: f64 = 2.094;

/// How much speed the hand asks for per angle that is left to turn, 1/s: a pulled axis comes to rest without
/// swinging past by more than a few per cent.
const PULL_PER_S: f64 = 1.5;
/// A pulled axis is there within this, rad (0.5°).
const THERE_RAD: f64 = 0.0087;
/// Slower than this it may be stopped there, rad/s (3°/s).
const SLOW_RAD_S: f64 = 0.052;

/// One of the chair's two axes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ChairAxis {
    /// The patient's long axis.
    Yaw,
    /// The axis of the circular track.
    Track,
}

impl ChairAxis {
    /// Both, in the order in which pairs of values hold them.
    pub const BOTH: [Self; 2] = [Self::Yaw, Self::Track];

    /// Its word.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Yaw => "yaw",
            Self::Track => "track",
        }
    }

    /// Its place in pairs of values.
    pub const fn index(self) -> usize {
        self as usize
    }

    /// Its angle, rad.
    pub const fn of(self, angles: ChairAngles) -> f64 {
        match self {
            Self::Yaw => angles.yaw_rad,
            Self::Track => angles.track_rad,
        }
    }
}

/// What the hand does to an axis.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub enum Ask {
    /// It has let go: the axis brakes.
    #[default]
    Nothing,
    /// It asks for a speed, rad/s.
    Rate(f64),
    /// It asks for an angle, rad, and keeps hold there.
    Angle(f64),
}

/// One axis.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Axis {
    /// Angle, rad, accumulated.
    pub angle_rad: f64,
    /// Speed, rad/s.
    pub rate_rad_s: f64,
    /// Acceleration over the last step, rad/s².
    pub acceleration_rad_s2: f64,
}

impl Axis {
    /// Goes on by `dt_s` as the hand asks.
    pub fn follow(&mut self, ask: Ask, dt_s: f64) {
        let wanted_rad_s = match ask {
            Ask::Nothing => None,
            Ask::Rate(rate_rad_s) => Some(rate_rad_s),
            Ask::Angle(angle_rad) => {
                let left_rad = angle_rad - self.angle_rad;
                let there = left_rad.abs() < THERE_RAD && self.rate_rad_s.abs() < SLOW_RAD_S;
                (!there).then_some(PULL_PER_S * left_rad)
            }
        };
        self.advance(wanted_rad_s, dt_s);
    }

    /// Goes on by `dt_s`; `wanted_rad_s` is the speed that the hand asks for, `None` if it has let go.
    pub fn advance(&mut self, wanted_rad_s: Option<f64>, dt_s: f64) {
        let before = self.rate_rad_s;
        let after = match wanted_rad_s {
            Some(wanted) => {
                let wanted = wanted.clamp(-FASTEST_RAD_S, FASTEST_RAD_S);
                let change = (wanted - before) * (1.0 - (-dt_s / FOLLOW_S).exp());
                before + change.clamp(-PUSH_RAD_S2 * dt_s, PUSH_RAD_S2 * dt_s)
            }
            None => before - before.clamp(-BRAKE_RAD_S2 * dt_s, BRAKE_RAD_S2 * dt_s),
        };
        self.angle_rad += 0.5 * (before + after) * dt_s;
        self.rate_rad_s = after;
        self.acceleration_rad_s2 = (after - before) / dt_s;
    }

    /// It stands still.
    pub fn is_at_rest(&self) -> bool {
        self.rate_rad_s == 0.0
    }
}

/// What the ear feels with the two axes turning as they do.
///
/// # Equation
/// In the axes of the inner frame, with yaw ψ and track θ: ω = (θ' cos ψ, −θ' sin ψ, ψ'), α its
/// derivative, and the head's centre p = (0, 0, h) has the acceleration α × p + ω × (ω × p).
pub fn hand_pose(
    time_s: f64,
    yaw: &Axis,
    track: &Axis,
    headrest_rad: f64,
    lever: Lever,
) -> HeadPose {
    let angles = ChairAngles {
        yaw_rad: yaw.angle_rad,
        track_rad: track.angle_rad,
        headrest_flexion_rad: headrest_rad,
    };
    let (sin, cos) = yaw.angle_rad.sin_cos();
    let (dy, dt) = (yaw.rate_rad_s, track.rate_rad_s);
    let omega = Vec3::new(dt * cos, -dt * sin, dy);
    let alpha = Vec3::new(
        track.acceleration_rad_s2 * cos - dt * dy * sin,
        -track.acceleration_rad_s2 * sin - dt * dy * cos,
        yaw.acceleration_rad_s2,
    );
    let centre = Vec3::new(0.0, 0.0, lever.head_above_track_axis_mm);
    let acceleration = alpha.cross(&centre) + omega.cross(&omega.cross(&centre));
    let head_from_frame =
        nalgebra::Rotation3::from_axis_angle(&Vec3::y_axis(), headrest_rad).inverse();
    HeadPose {
        time_s,
        angles,
        room_from_head: room_from_head(angles),
        down_in_head: down_in_head(angles),
        angular_velocity_in_head_rad_s: head_from_frame * omega,
        angular_acceleration_in_head_rad_s2: head_from_frame * alpha,
        acceleration_in_head_mm_s2: head_from_frame * acceleration,
    }
}

#[cfg(test)]
mod tests {
    use crate::{HeadMotion, MoveProfile, Step};

    use super::*;

    const DT_S: f64 = 1.0 / 60.0;

    #[test]
    fn it_follows_with_inertia_and_never_beyond() {
        let mut axis = Axis::default();
        axis.advance(Some(1.0), DT_S);
        assert!(axis.rate_rad_s < 0.06, "it does not jump");
        for _ in 0..240 {
            axis.advance(Some(1.0), DT_S);
            assert!(axis.rate_rad_s <= 1.0);
        }
        assert!(axis.rate_rad_s > 0.999);
        axis.advance(Some(99.0), 100.0);
        assert!(axis.rate_rad_s <= FASTEST_RAD_S + 1e-12);
    }

    #[test]
    fn it_stops_for_good_when_the_hand_lets_go() {
        let mut axis = Axis {
            rate_rad_s: 1.0,
            ..Axis::default()
        };
        // v² / 2a = 1 / (2 · 2.618) = 0.191 rad, in v / a = 0.382 s.
        for _ in 0..24 {
            axis.advance(None, DT_S);
        }
        assert!(axis.is_at_rest());
        assert!((axis.angle_rad - 0.191).abs() < 0.002, "{}", axis.angle_rad);
        axis.advance(None, DT_S);
        assert!(axis.acceleration_rad_s2 == 0.0);
    }

    #[test]
    fn a_pulled_axis_comes_to_rest_where_it_is_pulled_to() {
        let mut axis = Axis::default();
        let mut furthest_rad = 0.0f64;
        for _ in 0..360 {
            axis.follow(Ask::Angle(1.0), DT_S);
            furthest_rad = furthest_rad.max(axis.angle_rad);
        }
        assert!(axis.is_at_rest());
        assert!((axis.angle_rad - 1.0).abs() < 0.02, "{}", axis.angle_rad);
        // Speed follows in 0.3 s and 1.5 /s are asked for: the damping ratio is 1 / (2 √(1.5 · 0.3)) = 0.745,
        // and exp(−π 0.745 / √(1 − 0.745²)) = 0.030 of overshoot; the limit of a hand's push adds to it.
        assert!(furthest_rad < 1.06, "{furthest_rad}");
    }

    #[test]
    fn the_pose_is_that_of_the_chairs_own_motion() {
        let angles = |yaw_rad, track_rad| ChairAngles {
            yaw_rad,
            track_rad,
            headrest_flexion_rad: 0.2,
        };
        let step = Step {
            name: String::new(),
            to: angles(1.0, 2.0),
            move_s: 3.0,
            hold_s: 1.0,
        };
        let profile = MoveProfile::MinimumJerk;
        let motion =
            HeadMotion::new(angles(0.3, 0.1), vec![step], profile, Lever::default()).unwrap();
        let at_s = 1.1;
        // Rates and accelerations by central differences.
        let h = 1e-4;
        let near = [-h, 0.0, h].map(|d| motion.angles_at(at_s + d));
        let axis = |of: fn(&ChairAngles) -> f64| Axis {
            angle_rad: of(&near[1]),
            rate_rad_s: (of(&near[2]) - of(&near[0])) / (2.0 * h),
            acceleration_rad_s2: (of(&near[2]) - 2.0 * of(&near[1]) + of(&near[0])) / (h * h),
        };
        let (yaw, track) = (axis(|a| a.yaw_rad), axis(|a| a.track_rad));
        let ours = hand_pose(at_s, &yaw, &track, 0.2, Lever::default());
        let theirs = motion.at(at_s);
        assert!((ours.down_in_head - theirs.down_in_head).norm() < 1e-9);
        let omega = ours.angular_velocity_in_head_rad_s - theirs.angular_velocity_in_head_rad_s;
        assert!(omega.norm() < 1e-6, "{omega}");
        let linear = ours.acceleration_in_head_mm_s2 - theirs.acceleration_in_head_mm_s2;
        assert!(linear.norm() < 1e-2, "{linear}");
    }
}
