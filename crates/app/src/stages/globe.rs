//! The gravity globe as plain geometry: where a direction of the head falls on the screen.

use egui::{Pos2, Rect, Vec2, vec2};
use lithodrome_labyrinth::Vec3;

/// How the globe is turned and where it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Globe {
    /// Its middle on the screen.
    pub centre: Pos2,
    /// Its radius, points.
    pub radius: f32,
    /// How it is turned.
    pub turn: Turn,
}

/// From where the globe is looked at: turn about the head's long axis (0 from in front, positive from
/// the patient's left) and height, radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// About the long axis.
    pub turn_rad: f64,
    /// Above the middle.
    pub height_rad: f64,
}

impl Default for Turn {
    /// From in front, a little from the right and from above.
    fn default() -> Self {
        Turn {
            turn_rad: -0.55,
            height_rad: 0.32,
        }
    }
}

impl Turn {
    /// Follows a drag of `points` over a globe of this radius.
    pub fn drag(&mut self, points: Vec2, radius: f32) {
        self.turn_rad -= f64::from(points.x / radius);
        self.height_rad = (self.height_rad + f64::from(points.y / radius)).clamp(-1.5, 1.5);
    }
}

impl Globe {
    /// The square around it.
    pub fn area(&self) -> Rect {
        Rect::from_center_size(self.centre, Vec2::splat(2.0 * self.radius))
    }

    /// Where a direction falls; true if it is on the near side.
    pub fn place(&self, v: &Vec3) -> (Pos2, bool) {
        let (sin, cos) = self.turn.turn_rad.sin_cos();
        let (rise, level) = self.turn.height_rad.sin_cos();
        let right = -v.x * sin + v.y * cos;
        let toward = v.x * cos + v.y * sin;
        let up = v.z * level - toward * rise;
        let depth = toward * level + v.z * rise;
        let at = self.centre + vec2(right as f32, -up as f32) * self.radius;
        (at, depth >= 0.0)
    }

    /// The direction under a point of the screen, if it is on the globe.
    pub fn direction(&self, at: Pos2) -> Option<Vec3> {
        let off = (at - self.centre) / self.radius;
        let (right, up) = (f64::from(off.x), -f64::from(off.y));
        let depth = (1.0 - right * right - up * up).sqrt();
        if depth.is_nan() {
            return None;
        }
        let (sin, cos) = self.turn.turn_rad.sin_cos();
        let (rise, level) = self.turn.height_rad.sin_cos();
        let toward = depth * level - up * rise;
        Some(Vec3::new(
            toward * cos - right * sin,
            toward * sin + right * cos,
            up * level + depth * rise,
        ))
    }
}

/// The nearest of the six directions of the head, in words; the second nearest too where it matters.
pub fn toward(v: &Vec3) -> String {
    let mut axes = [
        (v.x, "the nose"),
        (-v.x, "the back of the head"),
        (v.y, "the left ear"),
        (-v.y, "the right ear"),
        (v.z, "the top of the head"),
        (-v.z, "the feet"),
    ];
    axes.sort_by(|a, b| b.0.total_cmp(&a.0));
    // Half of the first is 27° off an axis.
    if axes[1].0 > 0.5 * axes[0].0 {
        format!("toward {} and {}", axes[0].1, axes[1].1)
    } else {
        format!("toward {}", axes[0].1)
    }
}

#[cfg(test)]
mod tests {
    use egui::pos2;

    use super::*;

    fn globe() -> Globe {
        Globe {
            centre: pos2(100.0, 80.0),
            radius: 50.0,
            turn: Turn::default(),
        }
    }

    #[test]
    fn words_for_down() {
        assert_eq!(toward(&Vec3::new(0.1, 0.2, -0.9)), "toward the feet");
        let both = Vec3::new(0.1, -0.8, 0.5);
        assert_eq!(
            toward(&both),
            "toward the right ear and the top of the head"
        );
    }

    #[test]
    fn the_nose_is_on_the_near_side() {
        assert!(globe().place(&Vec3::x()).1);
        assert!(!globe().place(&-Vec3::x()).1);
    }

    #[test]
    fn to_the_screen_and_back() {
        let globe = globe();
        for v in [
            Vec3::new(0.6, -0.3, 0.74),
            Vec3::new(0.9, 0.3, -0.3),
            Vec3::new(0.1, -0.8, 0.59),
        ] {
            let v = v.normalize();
            let (at, near) = globe.place(&v);
            assert!(near);
            assert!((globe.direction(at).unwrap() - v).norm() < 1e-3);
        }
        assert_eq!(globe.direction(pos2(151.0, 80.0)), None);
    }

    #[test]
    fn a_drag_moves_what_is_under_the_pointer() {
        let mut globe = globe();
        let under = globe.direction(globe.centre).unwrap();
        globe.turn.drag(vec2(5.0, 0.0), globe.radius);
        let (at, _) = globe.place(&under);
        assert!((at.x - globe.centre.x - 5.0).abs() < 0.4, "{at:?}");
    }
}
