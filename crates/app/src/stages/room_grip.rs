//! The chair in the room stage as a thing to take hold of: the ring turns the track, the frame yaws.

use egui::{CursorIcon, Pos2, Rect, Role, Sense, Stroke, Ui, Vec2, WidgetInfo, vec2};
use glam::Vec3;
use lithodrome_chair::ChairAngles;

use crate::{
    drive::ChairAxis,
    kit::theme::Palette,
    session::command::{Command, DriveCommand},
    stages::camera::View,
    stages::scene::room_scene::track_and_frame,
    stages::stage_ui,
};

/// Radius of the track's ring, half width and half height of the inner frame, m (as drawn).
const RING_M: f32 = 1.02;
const FRAME_M: [f32; 2] = [0.40, 0.86];
/// The pointer has the ring within this, points: a band of 44 for a gloved hand. In a small picture less, so that
/// the frame inside stays within reach.
const REACH: f32 = 22.0;
const REACH_OF_RADIUS: f32 = 0.3;
/// A radian is at least as long as this on the screen, points, however an axis points at the eye.
const LEAST_PER_RAD: f32 = 60.0;
const POINTS: usize = 72;
/// Turn by which the movement on the screen is told, rad.
const STEP: f32 = 0.01;

/// Takes the pointer where it is on the ring or on the frame, and keeps it while it is held.
pub fn grip(
    ui: &mut Ui,
    rect: Rect,
    view: &View,
    angles: ChairAngles,
    commands: &mut Vec<Command>,
) {
    let id = ui.scope_id().with("grip of the chair");
    let kept: Option<ChairAxis> = ui.data(|d| d.get_temp(id)).flatten();
    let Some(pointer) = ui
        .input(|i| i.pointer.latest_pos())
        .filter(|p| rect.contains(*p))
    else {
        ui.data_mut(|d| d.insert_temp::<Option<ChairAxis>>(id, None));
        return;
    };
    let grips = Grips { rect, view, angles };
    let Some(axis) = kept.or_else(|| grips.under(pointer)) else {
        return;
    };
    let place = Rect::from_center_size(pointer, Vec2::splat(24.0)).intersect(rect);
    let response = ui.interact(place, id, Sense::drag());
    let name = match axis {
        ChairAxis::Yaw => "Frame: drag to turn the yaw",
        ChairAxis::Track => "Ring: drag to turn the track",
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Slider, true, name));
    let held = response.is_pointer_button_down_on();
    ui.data_mut(|d| d.insert_temp(id, held.then_some(axis)));
    let palette = Palette::of(ui);
    let painter = ui.painter_at(rect);
    grips.draw(&painter, axis, if held { 3.0 } else { 2.0 }, &palette);
    if held {
        let per_rad = grips.per_rad(axis, pointer);
        let by_rad = response.drag_delta().dot(per_rad) / per_rad.length_sq();
        commands.push(Command::Drive(DriveCommand::Pull(axis, f64::from(by_rad))));
    } else {
        let at = pointer + vec2(0.0, -22.0);
        let align = egui::Align2::CENTER_BOTTOM;
        stage_ui::label(&painter, rect, at, align, name, palette.text, &palette);
    }
    response.on_hover_and_drag_cursor(CursorIcon::Grab);
}

struct Grips<'a> {
    rect: Rect,
    view: &'a View,
    angles: ChairAngles,
}

impl Grips<'_> {
    fn screen(&self, p: Vec3) -> Pos2 {
        let at = self.view.on_screen(p);
        self.rect.min + vec2(at.x, at.y)
    }

    fn on_ring(angle: f32) -> Vec3 {
        Vec3::new(0.0, RING_M * angle.cos(), RING_M * angle.sin())
    }

    fn ring_angle(i: usize) -> f32 {
        std::f32::consts::TAU * i as f32 / POINTS as f32
    }

    fn frame(&self) -> [Pos2; 4] {
        let (_, frame) = track_and_frame(self.angles);
        let [wide, high] = FRAME_M;
        [(wide, high), (-wide, high), (-wide, -high), (wide, -high)]
            .map(|(y, z)| self.screen(frame.transform_point3(Vec3::new(0.0, y, z))))
    }

    /// The ring lies before the frame, as it is the narrower of the two.
    fn under(&self, pointer: Pos2) -> Option<ChairAxis> {
        let middle = self.screen(Vec3::ZERO);
        let radius = self.screen(Self::on_ring(Self::ring_angle(POINTS / 4)));
        let reach = REACH.min(REACH_OF_RADIUS * radius.distance(middle));
        let near = |i| {
            let at = self.screen(Self::on_ring(Self::ring_angle(i)));
            at.distance(pointer) < reach
        };
        if (0..POINTS).any(near) {
            return Some(ChairAxis::Track);
        }
        // The frame seen from its edge is as narrow as a line, the patient in it is not.
        let [a, b, c, d] = self.frame();
        let (top, foot) = (a + (b - a) / 2.0, d + (c - d) / 2.0);
        let along = foot - top;
        let share = ((pointer - top).dot(along) / along.length_sq().max(1.0)).clamp(0.0, 1.0);
        let half = self.frame_half_width();
        ((pointer - (top + along * share)).length() < half).then_some(ChairAxis::Yaw)
    }

    /// Half the width of the patient in the frame, points.
    fn frame_half_width(&self) -> f32 {
        let side = self.view.right * (0.7 * FRAME_M[0]);
        self.screen(side).distance(self.screen(Vec3::ZERO))
    }

    /// How the place under the pointer moves on the screen as the axis turns, points per radian.
    fn per_rad(&self, axis: ChairAxis, pointer: Pos2) -> Vec2 {
        let (at, along) = match axis {
            ChairAxis::Track => {
                let ring = (0..POINTS).map(|i| Self::on_ring(Self::ring_angle(i)));
                let far = |p: &Vec3| self.screen(*p).distance(pointer);
                let at = ring
                    .min_by(|a, b| far(a).total_cmp(&far(b)))
                    .unwrap_or(Vec3::Y);
                (at, Vec3::X.cross(at))
            }
            ChairAxis::Yaw => {
                let (_, frame) = track_and_frame(self.angles);
                let axis = frame.transform_vector3(Vec3::Z);
                // The side of the patient that faces the eye.
                let to_eye = self.view.eye - axis * self.view.eye.dot(axis);
                let at = to_eye.normalize_or_zero() * FRAME_M[0];
                (at, axis.cross(at))
            }
        };
        let moved = (self.screen(at + along * STEP) - self.screen(at)) / STEP;
        let length = moved.length();
        if length < 1e-3 {
            vec2(LEAST_PER_RAD, 0.0)
        } else {
            moved * (length.max(LEAST_PER_RAD) / length)
        }
    }

    fn draw(&self, painter: &egui::Painter, axis: ChairAxis, width: f32, palette: &Palette) {
        let stroke = Stroke::new(width, palette.text);
        let line = match axis {
            ChairAxis::Track => (0..POINTS)
                .map(|i| self.screen(Self::on_ring(Self::ring_angle(i))))
                .collect(),
            ChairAxis::Yaw => self.frame().to_vec(),
        };
        painter.add(egui::Shape::closed_line(line, stroke));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stages::scene::room_scene::home_camera;

    fn grips(view: &View) -> Grips<'_> {
        Grips {
            rect: Rect::from_min_size(Pos2::ZERO, vec2(400.0, 400.0)),
            view,
            angles: ChairAngles::default(),
        }
    }

    #[test]
    fn the_ring_and_the_frame_are_found_where_they_are_seen() {
        let view = home_camera().view(glam::Vec2::new(400.0, 400.0));
        let grips = grips(&view);
        let left_of_patient = grips.screen(Vec3::new(0.0, RING_M, 0.0));
        assert_eq!(grips.under(left_of_patient), Some(ChairAxis::Track));
        assert_eq!(grips.under(grips.screen(Vec3::ZERO)), Some(ChairAxis::Yaw));
        assert_eq!(grips.under(Pos2::new(4.0, 4.0)), None);
    }

    #[test]
    fn what_is_held_follows_the_pointer() {
        let view = home_camera().view(glam::Vec2::new(400.0, 400.0));
        let grips = grips(&view);
        // Positive track raises the patient's left: up is −y on the screen.
        let left = grips.screen(Vec3::new(0.0, RING_M, 0.0));
        assert!(grips.per_rad(ChairAxis::Track, left).y < -50.0);
        // Seen from in front, yaw to the patient's left moves the near side to the right of the screen.
        let yaw = grips.per_rad(ChairAxis::Yaw, grips.screen(Vec3::ZERO));
        assert!(yaw.x > 20.0 && yaw.y.abs() < yaw.x, "{yaw}");
    }
}
