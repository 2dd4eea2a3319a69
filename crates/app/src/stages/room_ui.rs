//! The room stage: the chair and the patient, with both angles.

use egui::{Align2, Painter, Pos2, Rect, Stroke, Ui, vec2};
use glam::Vec3;
use lithodrome_chair::ChairAngles;

use crate::{
    kit::theme::{self, Palette},
    score::chair::degrees,
    session::command::Command,
    stages::camera,
    stages::ghost,
    stages::render::{self, StageId},
    stages::room_grip,
    stages::scene::room_scene,
    stages::stage_ui,
    stages::stage_ui::Shown,
    work::stage_data::Loaded,
};

/// Shows the stage.
pub fn room_ui(ui: &mut Ui, shown: Shown<'_>, loaded: &Loaded, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let (session, quality) = (shown.session, shown.quality);
    let angles = loaded.angles_at(session.playback.time_s);
    let name = format!(
        "Room stage: chair at yaw {}, track {}",
        degrees(angles.yaw_rad.to_degrees()),
        degrees(angles.track_rad.to_degrees())
    );
    let room = ui.available_size();
    let field = camera::field(glam::Vec2::new(room.x, room.y));
    let (rect, _) = stage_ui::stage_area(
        ui,
        StageId::Room,
        &name,
        field,
        session.drive.is_some(),
        commands,
    );
    let Some(scene) = &shown.scenes.room else {
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
    let below = rect.with_min_y(rect.top() + 44.0);
    let along = |axis: Vec3| [screen(axis * 1.22), screen(axis * -1.22)];
    axis_line(&painter, below, along(Vec3::X), "track axis", &palette);
    axis_line(
        &painter,
        below,
        along(frame.transform_vector3(Vec3::Z)),
        "yaw axis",
        &palette,
    );
    if let Some(drive) = &session.drive {
        ghost::in_room(&painter, below, &view, drive, &palette);
        room_grip::grip(ui, rect, &view, angles, commands);
    }
    if !shown.bare {
        stage_ui::title(ui, rect, StageId::Room, shown.alone, commands);
    }
    if rect.height() < CROWDED {
        // The ring reaches up to the dials.
        let row = rect.with_max_y(rect.top() + 40.0);
        let row = row.with_min_x(rect.right() - 256.0);
        painter.rect_filled(row, 0.0, palette.stage.gamma_multiply(0.8));
    }
    read_outs(
        &painter,
        rect.right_top() + vec2(-16.0, 24.0),
        angles,
        &palette,
    );
}

/// Below this height of the stage dials and chair are on each other, points.
const CROWDED: f32 = 240.0;

/// A dashed line along an axis, its name at the first end.
fn axis_line(painter: &Painter, rect: Rect, ends: [Pos2; 2], name: &str, palette: &Palette) {
    let stroke = Stroke::new(1.0, palette.faint);
    painter.extend(egui::Shape::dashed_line(&ends, stroke, 4.0, 4.0));
    let out = (ends[0] - ends[1]).normalized();
    let aside = if out.y.abs() > 0.8 {
        vec2(36.0, 0.0)
    } else {
        vec2(0.0, 14.0)
    };
    let at = rect.clamp(ends[0] + out * 12.0) + aside;
    stage_ui::label(
        painter,
        rect,
        at,
        Align2::CENTER_CENTER,
        name,
        palette.weak,
        palette,
    );
}

/// Two dials with their angles, in a row that ends at `right`.
fn read_outs(painter: &Painter, right: Pos2, angles: ChairAngles, palette: &Palette) {
    let values = [
        ("yaw", angles.yaw_rad, 204.0),
        ("track", angles.track_rad, 92.0),
    ];
    for (i, (name, rad, left)) in values.into_iter().enumerate() {
        let start = right - vec2(left, 0.0);
        painter.text(
            start,
            Align2::RIGHT_CENTER,
            name,
            theme::small(),
            palette.weak,
        );
        let centre = start + vec2(18.0, 0.0);
        let faint = Stroke::new(1.0, palette.faint);
        painter.circle_stroke(centre, 10.0, faint);
        painter.line_segment([centre - vec2(0.0, 10.0), centre - vec2(0.0, 7.0)], faint);
        // Up is zero; positive yaw turns to the left, positive track lowers the right.
        let way = if i == 0 { -1.0 } else { 1.0 };
        let needle = egui::Vec2::angled(way * rad as f32 - std::f32::consts::FRAC_PI_2);
        painter.line_segment(
            [centre, centre + needle * 9.0],
            Stroke::new(2.0, palette.text),
        );
        let text = degrees(rad.to_degrees());
        let at = centre + vec2(18.0, 0.0);
        painter.text(
            at,
            Align2::LEFT_CENTER,
            text,
            theme::body_strong(),
            palette.text,
        );
    }
}
