//! The plan behind a drive, thin and dashed: where the step aimed at wants the chair, and the plan's path.

use egui::{Align2, Painter, Pos2, Rect, Shape, Stroke, vec2};
use glam::Vec3;
use lithodrome_chair::ChairAngles;

use crate::{
    drive::Drive,
    kit::theme::Palette,
    score::{Lane, curve},
    stages::camera::View,
    stages::globe::Globe,
    stages::scene::room_scene::track_and_frame,
    stages::stage_ui,
    work::stage_data::Loaded,
};

/// Points of the path drawn at most.
const PATH_POINTS: usize = 400;

/// Where the step aimed at holds the chair, and its number.
pub fn aim(drive: &Drive) -> Option<(ChairAngles, usize)> {
    if drive.is_in_case() {
        return None;
    }
    let (plan, step) = (drive.plan(), drive.now()?.target.step);
    let times = plan.step_times.get(step)?;
    Some((plan.angles_at(times.hold_from_s), step))
}

/// The patient's long axis and nose as the step wants them.
pub fn in_room(painter: &Painter, rect: Rect, view: &View, drive: &Drive, palette: &Palette) {
    let Some((angles, step)) = aim(drive) else {
        return;
    };
    let (_, frame) = track_and_frame(angles);
    let screen = |x: f32, y: f32, z: f32| {
        let at = view.on_screen(frame.transform_point3(Vec3::new(x, y, z)));
        rect.min + vec2(at.x, at.y)
    };
    let stroke = Stroke::new(1.5, palette.text);
    let dashed = |points: &[Pos2]| {
        painter.extend(Shape::dashed_line(points, stroke, 6.0, 5.0));
    };
    let (wide, high) = (0.40, 0.86);
    let corners = [
        (1.0, 1.0),
        (-1.0, 1.0),
        (-1.0, -1.0),
        (1.0, -1.0),
        (1.0, 1.0),
    ];
    dashed(&corners.map(|(y, z)| screen(0.0, y * wide, z * high)));
    // The nose, an arrow from the head's place.
    let tip = screen(0.5, 0.0, 0.62);
    dashed(&[screen(0.0, 0.0, 0.62), tip]);
    for side in [-0.07, 0.07] {
        painter.line_segment([tip, screen(0.40, side, 0.62)], stroke);
    }
    let text = format!("step {}", step + 1);
    let ink = palette.text;
    let at = screen(0.0, 0.0, 1.0);
    stage_ui::label(
        painter,
        rect,
        at,
        Align2::CENTER_CENTER,
        &text,
        ink,
        palette,
    );
}

/// The whole way of gravity as planned, and a ring where the step aimed at wants it.
pub fn on_globe(painter: &Painter, globe: &Globe, drive: &Drive, palette: &Palette) {
    if drive.is_in_case() {
        return;
    }
    let column = &drive.plan().run.down_in_head;
    let stride = (column.len() / PATH_POINTS).max(1);
    let mut before: Option<(Pos2, bool)> = None;
    let mut way = 0.0;
    for v in column.iter().step_by(stride) {
        let now = globe.place(v);
        if let Some((from, near)) = before {
            // Every second stretch of 3 points is left out.
            let share = if near && now.1 { 0.9 } else { 0.35 };
            let ink = palette.gravity.gamma_multiply(share);
            if (way / 3.0) as i32 % 2 == 0 {
                painter.line_segment([from, now.0], Stroke::new(1.0, ink));
            }
            way += from.distance(now.0);
        }
        before = Some(now);
    }
    if let Some((angles, _)) = aim(drive) {
        let (at, _) = globe.place(&lithodrome_chair::down_in_head(angles));
        painter.circle_stroke(at, 8.0, Stroke::new(1.5, palette.gravity));
    }
}

/// Yaw and track as planned, over the plan's own time.
pub fn in_lane(painter: &Painter, lane: &Lane, plan: &Loaded, y: impl Fn(f32) -> f32) {
    let inks = [lane.palette.weak, lane.palette.faint];
    for (column, ink) in [&plan.chair.yaw_rad, &plan.chair.track_rad]
        .into_iter()
        .zip(inks)
    {
        let value = |i: usize| column[i].to_degrees() as f32;
        for line in curve::polylines(&lane.axis, &plan.run.time_s, value, &y) {
            painter.extend(Shape::dashed_line(&line, Stroke::new(1.0, ink), 4.0, 4.0));
        }
    }
}
