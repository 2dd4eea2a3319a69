//! The room stage: the chair and the patient, with both angles.

use egui::{Align2, Painter, Pos2, Stroke, Ui, pos2, vec2};
use glam::Vec3;
use lithodrome_chair::ChairAngles;

use crate::{
    command::Command,
    render::{self, StageId},
    scene::{
        Quality,
        room_scene::{self, RoomScene},
    },
    score::chair::degrees,
    session::Session,
    stage_data::Loaded,
    stage_ui,
    theme::{self, Palette},
};

/// Shows the stage; `scene` is none without a graphics card.
pub fn room_ui(
    ui: &mut Ui,
    session: &Session,
    loaded: &Loaded,
    scene: Option<&RoomScene>,
    quality: Quality,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    let angles = loaded.angles_at(session.playback.time_s);
    let name = format!(
        "Room stage: chair at yaw {}, track {}",
        degrees(angles.yaw_rad.to_degrees()),
        degrees(angles.track_rad.to_degrees())
    );
    let (rect, _) = stage_ui::stage_area(ui, StageId::Room, &name, commands);
    let Some(scene) = scene else {
        stage_ui::no_card(ui, rect);
        return;
    };
    let size = stage_ui::size_of(rect);
    let picture = scene.picture(
        angles,
        &session.room_camera,
        size,
        palette.stage_rgb(),
        palette.dark,
        quality,
    );
    let view = picture.view;
    render::paint(ui.painter(), rect, StageId::Room, picture);
    let painter = ui.painter_at(rect);
    let screen = |p: Vec3| {
        let at = view.on_screen(p);
        rect.min + vec2(at.x, at.y)
    };
    let (_, frame) = room_scene::track_and_frame(angles);
    let along = |axis: Vec3| [screen(axis * 1.3), screen(axis * -1.3)];
    axis_line(&painter, along(Vec3::X), "track axis", &palette);
    axis_line(
        &painter,
        along(frame.transform_vector3(Vec3::Z)),
        "yaw axis",
        &palette,
    );
    stage_ui::title(ui, rect, "Room");
    read_outs(
        &painter,
        rect.left_bottom() + vec2(16.0, -16.0),
        angles,
        &palette,
    );
}

fn axis_line(painter: &Painter, ends: [Pos2; 2], name: &str, palette: &Palette) {
    let stroke = Stroke::new(1.0, palette.faint);
    painter.extend(egui::Shape::dashed_line(&ends, stroke, 4.0, 4.0));
    let out = (ends[0] - ends[1]).normalized();
    let align = if out.x.abs() > 0.5 {
        if out.x > 0.0 {
            Align2::LEFT_CENTER
        } else {
            Align2::RIGHT_CENTER
        }
    } else if out.y < 0.0 {
        Align2::CENTER_BOTTOM
    } else {
        Align2::CENTER_TOP
    };
    painter.text(
        ends[0] + out * 6.0,
        align,
        name,
        theme::small(),
        palette.weak,
    );
}

/// Two dials with their angles, the lower left corner at `corner`.
fn read_outs(painter: &Painter, corner: Pos2, angles: ChairAngles, palette: &Palette) {
    let values = [("yaw", angles.yaw_rad), ("track", angles.track_rad)];
    for (i, (name, rad)) in values.into_iter().enumerate() {
        let centre = corner + vec2(16.0 + 128.0 * i as f32, -16.0);
        painter.circle_stroke(centre, 14.0, Stroke::new(1.0, palette.faint));
        for quarter in 0..4 {
            let tick = egui::Vec2::angled(std::f32::consts::FRAC_PI_2 * quarter as f32);
            painter.line_segment(
                [centre + tick * 11.0, centre + tick * 14.0],
                Stroke::new(1.0, palette.faint),
            );
        }
        // Up is zero; positive yaw turns to the left, positive track lowers the right.
        let way = if i == 0 { -1.0 } else { 1.0 };
        let needle = egui::Vec2::angled(way * rad as f32 - std::f32::consts::FRAC_PI_2);
        painter.line_segment(
            [centre, centre + needle * 13.0],
            Stroke::new(2.0, palette.text),
        );
        painter.circle_filled(centre, 2.5, palette.text);
        let text = pos2(centre.x + 24.0, centre.y);
        painter.text(
            text + vec2(0.0, -9.0),
            Align2::LEFT_CENTER,
            name,
            theme::small(),
            palette.weak,
        );
        painter.text(
            text + vec2(0.0, 8.0),
            Align2::LEFT_CENTER,
            degrees(rad.to_degrees()),
            theme::heading(),
            palette.text,
        );
    }
}
