//! A dial for one axis: where it is, where the step wants it, and a grip to turn it by.

use egui::{Align2, CursorIcon, Pos2, Response, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo, vec2};

use crate::{
    drive::ChairAxis,
    kit::theme::{self, Palette},
    score::chair::degrees,
    session::command::{Command, DriveCommand},
};

/// Width and height of a dial, points.
pub const SIZE: Vec2 = vec2(112.0, 128.0);
const RADIUS: f32 = 40.0;
/// Nearer to the middle than this the pointer turns nothing, points.
const DEAD: f32 = 8.0;

/// Shows the dial as seen by somebody who stands behind the patient (track) or looks down on him (yaw);
/// `left` says what is left to turn.
pub fn dial(
    ui: &mut Ui,
    axis: ChairAxis,
    now_rad: f64,
    planned_rad: Option<f64>,
    left: &str,
    commands: &mut Vec<Command>,
) -> Response {
    let palette = Palette::of(ui);
    let (rect, response) = ui.allocate_exact_size(SIZE, Sense::drag());
    let name = axis.name();
    let now_deg = now_rad.to_degrees();
    response.widget_info(|| WidgetInfo::slider(true, now_deg.round(), format!("Turn the {name}")));
    let centre = rect.center_top() + vec2(0.0, RADIUS + 4.0);
    if response.is_pointer_button_down_on() {
        let by_rad = turned_rad(ui, &response, centre);
        commands.push(Command::Drive(DriveCommand::Pull(axis, way(axis) * by_rad)));
    }
    let held = response.is_pointer_button_down_on() || response.hovered();
    let painter = ui.painter_at(rect.expand(2.0));
    let rim = if held { palette.text } else { palette.faint };
    painter.circle(centre, RADIUS, palette.block, Stroke::new(1.0, rim));
    for i in 0..24 {
        let out = direction(axis, f64::from(i) * 15f64.to_radians());
        let long = if i % 6 == 0 { 8.0 } else { 4.0 };
        let ends = [centre + out * (RADIUS - long), centre + out * RADIUS];
        painter.line_segment(ends, Stroke::new(1.0, palette.faint));
    }
    if let Some(planned_rad) = planned_rad {
        let out = direction(axis, planned_rad);
        let ends = [centre + out * 10.0, centre + out * RADIUS];
        let thin = Stroke::new(1.5, palette.weak);
        painter.extend(Shape::dashed_line(&ends, thin, 4.0, 3.0));
        let tip = centre + out * (RADIUS + 2.0);
        painter.circle(tip, 3.5, palette.panel, thin);
    }
    let out = direction(axis, now_rad);
    let grip = centre + out * (RADIUS - 10.0);
    painter.line_segment([centre, grip], Stroke::new(3.0, palette.text));
    painter.circle_filled(centre, 3.0, palette.text);
    painter.circle_filled(grip, if held { 7.0 } else { 6.0 }, palette.text);
    let text = format!("{name} {}", degrees(now_deg));
    let at = rect.center_bottom() - vec2(0.0, 8.0);
    painter.text(
        at,
        Align2::CENTER_CENTER,
        left,
        theme::small(),
        palette.weak,
    );
    let at = at - vec2(0.0, 18.0);
    painter.text(
        at,
        Align2::CENTER_CENTER,
        text,
        theme::body_strong(),
        palette.text,
    );
    response.on_hover_and_drag_cursor(CursorIcon::Grab).on_hover_text(match axis {
        ChairAxis::Yaw => {
            "Yaw seen from above, nose up. Drag round the dial: the chair follows as long as it is held. \
             Dashed is where the step wants it."
        }
        ChairAxis::Track => {
            "Track seen from behind the frame. Drag round the dial: the chair follows as long as it is \
             held. Dashed is where the step wants it."
        }
    })
}

/// Positive yaw turns to the left, positive track lowers the right.
fn way(axis: ChairAxis) -> f64 {
    match axis {
        ChairAxis::Yaw => -1.0,
        ChairAxis::Track => 1.0,
    }
}

/// Unit vector of an angle on the dial; 0 is up.
fn direction(axis: ChairAxis, angle_rad: f64) -> Vec2 {
    Vec2::angled((way(axis) * angle_rad) as f32 - std::f32::consts::FRAC_PI_2)
}

/// How far the pointer has gone round the middle in this picture, clockwise, rad.
fn turned_rad(ui: &Ui, response: &Response, centre: Pos2) -> f64 {
    let by = response.drag_delta();
    let Some(now) = ui.input(|i| i.pointer.interact_pos()) else {
        return 0.0;
    };
    let (before, now) = (now - by - centre, now - centre);
    if before.length() < DEAD || now.length() < DEAD {
        return 0.0;
    }
    let cross = before.x * now.y - before.y * now.x;
    f64::from(cross.atan2(before.dot(now)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dials_turn_as_the_patient_does() {
        // A quarter of yaw to the left points to the left, a quarter of track lowers the right.
        let quarter = std::f64::consts::FRAC_PI_2;
        assert!((direction(ChairAxis::Yaw, quarter) - vec2(-1.0, 0.0)).length() < 1e-6);
        assert!((direction(ChairAxis::Track, quarter) - vec2(1.0, 0.0)).length() < 1e-6);
        assert!((direction(ChairAxis::Track, 0.0) - vec2(0.0, -1.0)).length() < 1e-6);
    }
}
