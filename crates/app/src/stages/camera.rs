//! A camera that orbits a point; plain numbers, no window.

use glam::{Mat4, Vec2, Vec3};

/// Angle of view over the field of a picture, radians.
const FIELD_RAD: f32 = 0.5;
/// What the stages show is higher than wide: a picture may be narrower than its field by this factor.
const SLENDER: f32 = 1.3;
/// Share of a field that an ear fills, seen from any side (by the looks of the shipped ears).
pub const ONE_SEEN: f32 = 0.72;
/// The same of both ears beside each other.
pub const BOTH_SEEN: f32 = 0.92;

/// Points that the field of view has in a picture of this `size`: its height, but for narrow ones.
pub fn field(size: Vec2) -> f32 {
    (size.x * SLENDER).min(size.y).max(1.0)
}

/// Where in a picture the target is seen, and how large.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aim {
    /// Place of the target, points from the upper left corner.
    pub middle: Vec2,
    /// Points that the field of view has.
    pub field: f32,
}

impl Aim {
    /// In the middle of a picture of this `size`, filling it.
    pub fn centred(size: Vec2) -> Self {
        Self {
            middle: size / 2.0,
            field: field(size),
        }
    }

    /// As [`Aim::centred`], moved away from a disc at `keep_off` with this `radius`, points, and made smaller
    /// where there is no room for both; what is shown fills the share `seen` of its field.
    pub fn beside(size: Vec2, seen: f32, keep_off: Vec2, radius: f32) -> Self {
        let mut aim = Self::centred(size);
        for _ in 0..20 {
            let ball = seen * aim.field / 2.0;
            let apart = (size / 2.0 - keep_off).length();
            let away = (size / 2.0 - keep_off).normalize_or_zero();
            let wanted = size / 2.0 + away * (ball + radius - apart).max(0.0);
            let least = Vec2::splat(ball).min(size / 2.0);
            aim.middle = wanted.clamp(least, size - least);
            let off = (aim.middle - keep_off).length() >= ball + radius - 0.5;
            if off && 2.0 * ball <= size.min_element() {
                break;
            }
            aim.field *= 0.96;
        }
        aim
    }
}

/// An orbiting camera; z is up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Orbit {
    /// The point looked at, stage unit.
    pub target: Vec3,
    /// Turn of the eye about z, radians; 0 looks from +x.
    pub turn_rad: f32,
    /// Height of the eye above the horizon, radians.
    pub height_rad: f32,
    /// From the eye to the target, stage unit.
    pub distance: f32,
}

/// A camera's matrices for one picture size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// From stage axes to clip space, depth 0 to 1.
    pub clip_from_stage: Mat4,
    /// Place of the eye.
    pub eye: Vec3,
    /// Unit vector to the right of the picture.
    pub right: Vec3,
    /// Unit vector to the top of the picture.
    pub up: Vec3,
    /// Size of one point of the screen at unit distance, stage unit.
    pub point_at_unit: f32,
    /// Width and height in points.
    pub size: Vec2,
    /// Where the target is seen, points from the upper left corner.
    pub middle: Vec2,
}

impl Orbit {
    /// Unit vector from the target to the eye.
    fn toward_eye(&self) -> Vec3 {
        let (sin, cos) = self.height_rad.sin_cos();
        Vec3::new(cos * self.turn_rad.cos(), cos * self.turn_rad.sin(), sin)
    }

    /// Right and up of the picture, unit vectors.
    fn right_up(&self) -> (Vec3, Vec3) {
        let to_eye = self.toward_eye();
        let right = Vec3::Z.cross(to_eye).normalize();
        (right, to_eye.cross(right))
    }

    /// Turns by a drag of `points` on the screen.
    pub fn orbit(&mut self, points: Vec2) {
        self.turn_rad -= points.x * 0.008;
        self.height_rad = (self.height_rad + points.y * 0.008).clamp(-1.5, 1.5);
    }

    /// Moves the target so that it follows a drag of `points` in a picture with this [`field`].
    pub fn pan(&mut self, points: Vec2, field: f32) {
        let (right, up) = self.right_up();
        let scale = self.distance * 2.0 * (FIELD_RAD / 2.0).tan() / field.max(1.0);
        self.target += (right * -points.x + up * points.y) * scale;
    }

    /// Comes nearer by `factor` (above 1) or goes away (below 1).
    pub fn zoom(&mut self, factor: f32) {
        self.distance = (self.distance / factor.clamp(0.2, 5.0)).clamp(0.5, 500.0);
    }

    /// Looks at a ball so that it fills the field of a picture.
    pub fn fit(&mut self, centre: Vec3, radius: f32) {
        self.target = centre;
        self.distance = radius / (FIELD_RAD / 2.0).sin();
    }

    /// The matrices for a picture of this `size` in points, with the target in its middle.
    pub fn view(&self, size: Vec2) -> View {
        self.view_aimed(size, Aim::centred(size))
    }

    /// The matrices for a picture of this `size` in points, with the target where `aim` says.
    pub fn view_aimed(&self, size: Vec2, aim: Aim) -> View {
        let eye = self.target + self.toward_eye() * self.distance;
        let (right, up) = self.right_up();
        let aspect = (size.x / size.y.max(1.0)).max(0.01);
        let (near, far) = (self.distance * 0.05, self.distance * 6.0);
        let half = (FIELD_RAD / 2.0).tan() * size.y.max(1.0) / aim.field;
        let high_rad = 2.0 * half.atan();
        let clip_from_eye =
            glam::camera::rh::proj::directx::perspective(high_rad, aspect, near, far);
        let eye_from_stage = glam::camera::rh::view::look_at_mat4(eye, self.target, up);
        let off = (aim.middle - size / 2.0) * 2.0 / size.max(Vec2::ONE);
        let moved = Mat4::from_translation(Vec3::new(off.x, -off.y, 0.0));
        View {
            clip_from_stage: moved * clip_from_eye * eye_from_stage,
            eye,
            right,
            up,
            point_at_unit: 2.0 * half / size.y.max(1.0),
            size,
            middle: aim.middle,
        }
    }
}

impl View {
    /// Where a point of the stage falls in the picture, points from its upper left corner.
    pub fn on_screen(&self, point: Vec3) -> Vec2 {
        let clip = self.clip_from_stage.project_point3(point);
        Vec2::new(f32::midpoint(clip.x, 1.0), (1.0 - clip.y) / 2.0) * self.size
    }

    /// The point of the stage under `screen` (points) at `distance` from the eye's plane.
    pub fn at_screen(&self, screen: Vec2, distance: f32) -> Vec3 {
        let forward = self.up.cross(self.right);
        let off = (screen - self.middle) * self.point_at_unit * distance;
        self.eye + forward * distance + self.right * off.x - self.up * off.y
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn orbit() -> Orbit {
        Orbit {
            target: Vec3::new(1.0, 2.0, 3.0),
            turn_rad: 0.4,
            height_rad: 0.3,
            distance: 20.0,
        }
    }

    #[test]
    fn target_is_in_the_middle() {
        let at = orbit()
            .view(Vec2::new(400.0, 300.0))
            .on_screen(Vec3::new(1.0, 2.0, 3.0));
        assert!((at - Vec2::new(200.0, 150.0)).length() < 0.01, "{at}");
    }

    #[test]
    fn a_pan_drags_the_target_with_the_pointer() {
        let (size, mut camera) = (Vec2::new(400.0, 300.0), orbit());
        let before = camera.target;
        camera.pan(Vec2::new(30.0, -10.0), size.y);
        let at = camera.view(size).on_screen(before);
        assert!((at - Vec2::new(230.0, 140.0)).length() < 0.5, "{at}");
    }

    #[test]
    fn screen_and_back() {
        let view = orbit().view(Vec2::new(400.0, 300.0));
        let point = view.at_screen(Vec2::new(50.0, 80.0), 18.0);
        assert!((view.on_screen(point) - Vec2::new(50.0, 80.0)).length() < 0.05);
    }

    #[test]
    fn an_aimed_picture_is_the_same_one_moved_and_scaled() {
        let (size, aside) = (Vec2::new(400.0, 300.0), Vec2::new(-70.0, -20.0));
        let aim = Aim {
            middle: size / 2.0 + aside,
            field: 150.0,
        };
        let (plain, aimed) = (orbit().view(size), orbit().view_aimed(size, aim));
        let point = Vec3::new(2.5, 0.5, 3.5);
        // Half the field shows all of it half as large.
        let from_middle = (plain.on_screen(point) - size / 2.0) / 2.0;
        let at = aimed.on_screen(point);
        assert!((at - aim.middle - from_middle).length() < 0.05, "{at}");
        let back = aimed.at_screen(at, 18.0);
        assert!((aimed.on_screen(back) - at).length() < 0.05);
    }

    #[test]
    fn what_is_beside_a_disc_keeps_off_it_and_inside() {
        for (size, at, radius) in [
            (Vec2::new(384.0, 412.0), Vec2::new(307.0, 331.0), 72.0),
            (Vec2::new(696.0, 322.0), Vec2::new(617.0, 219.0), 75.0),
            (Vec2::new(464.0, 292.0), Vec2::new(387.0, 189.0), 72.0),
        ] {
            let aim = Aim::beside(size, ONE_SEEN, at, radius);
            let ball = ONE_SEEN * aim.field / 2.0;
            let apart = (aim.middle - at).length() - ball - radius;
            assert!(apart > -1.0, "{size}: {aim:?}");
            let low = aim.middle - ball;
            assert!(low.min_element() > -1.0 && (size - aim.middle - ball).min_element() > -1.0);
            assert!(aim.field > 0.7 * field(size), "{size}: {aim:?}");
        }
        // Far from it nothing is moved.
        let size = Vec2::new(900.0, 500.0);
        let far = Aim::beside(size, ONE_SEEN, Vec2::new(820.0, 400.0), 90.0);
        assert_eq!(far, Aim::centred(size));
    }

    #[test]
    fn a_fitted_ball_touches_the_edge() {
        let (size, mut camera) = (Vec2::new(300.0, 300.0), orbit());
        camera.fit(Vec3::ZERO, 5.0);
        let view = camera.view(size);
        // The silhouette of a ball is seen at asin(r / d) from the axis (hand calculation).
        let seen = (5.0f32 / camera.distance).asin().tan() / (FIELD_RAD / 2.0).tan();
        assert!((seen - 1.0).abs() < 1e-3, "{seen}");
        assert!((view.point_at_unit * 150.0 - (FIELD_RAD / 2.0).tan()).abs() < 1e-5);
    }

    #[test]
    fn a_picture_shows_as_much_whichever_side_is_longer() {
        let mut camera = orbit();
        camera.fit(Vec3::ZERO, 5.0);
        let square = camera.view(Vec2::new(300.0, 300.0));
        let aside = square.right * 5.0 + square.up * 5.0;
        // By hand: a wide picture is as high as the square one, a narrow one may cut its sides a little.
        for (size, larger) in [
            (Vec2::new(300.0, 500.0), SLENDER),
            (Vec2::new(500.0, 300.0), 1.0),
        ] {
            let view = camera.view(size);
            let off = |view: &View| (view.on_screen(aside) - view.size / 2.0).length();
            assert!((off(&view) - off(&square) * larger).abs() < 0.05);
            let middle = view.at_screen(size / 2.0 + Vec2::new(90.0, 0.0), 18.0);
            let there = view.on_screen(middle) - size / 2.0;
            assert!((there - Vec2::new(90.0, 0.0)).length() < 0.05, "{there}");
        }
    }

    #[test]
    fn height_stops_short_of_the_poles() {
        let mut camera = orbit();
        camera.orbit(Vec2::new(0.0, 1e6));
        assert!(camera.height_rad < std::f32::consts::FRAC_PI_2);
    }
}
