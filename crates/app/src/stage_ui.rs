//! What both stages share: pointer, title, and a plain message where nothing can be drawn.

use egui::{Align2, CursorIcon, PointerButton, Rect, Response, Role, Sense, Ui, WidgetInfo, vec2};

use crate::{
    command::Command,
    render::StageId,
    theme::{self, Palette},
};

const NO_CARD: &str = "This stage needs a graphics card or a software one, and neither was found.\n\
    The score, the eyes and the case work without it.";

/// Takes a stage's place and its pointer; returns where to draw.
pub fn stage_area(
    ui: &mut Ui,
    stage: StageId,
    name: &str,
    commands: &mut Vec<Command>,
) -> (Rect, Response) {
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, name));
    let points = |v: egui::Vec2| glam::Vec2::new(v.x, v.y);
    let drag = points(response.drag_delta());
    if response.double_clicked() {
        commands.push(Command::Fit(stage));
    } else if response.dragged_by(PointerButton::Primary) {
        commands.push(Command::Orbit(stage, points(response.drag_delta())));
    } else if response.dragged() {
        commands.push(Command::Pan(
            stage,
            points(response.drag_delta()),
            rect.height(),
        ));
    }
    if response.hovered() {
        let wheel = ui.input(|i| i.smooth_scroll_delta().y);
        let pinch = ui.input(egui::InputState::zoom_delta);
        let factor = (wheel / 240.0).exp() * pinch;
        if (factor - 1.0).abs() > 1e-4 {
            commands.push(Command::Zoom(stage, factor));
        }
    }
    ui.painter().rect_filled(rect, 0.0, Palette::of(ui).stage);
    (rect, response.on_hover_and_drag_cursor(CursorIcon::Grab))
}

/// Size of a stage for the camera.
pub fn size_of(rect: Rect) -> glam::Vec2 {
    glam::Vec2::new(rect.width(), rect.height())
}

/// Writes the stage's title into its corner.
pub fn title(ui: &Ui, rect: Rect, text: &str) {
    let at = rect.left_top() + vec2(16.0, 16.0);
    let ink = Palette::of(ui).weak;
    ui.painter()
        .text(at, Align2::LEFT_TOP, text, theme::small_strong(), ink);
}

/// Says why nothing is drawn.
pub fn no_card(ui: &Ui, rect: Rect) {
    let ink = Palette::of(ui).weak;
    let galley = ui
        .painter()
        .layout(NO_CARD.to_owned(), theme::body(), ink, rect.width() - 64.0);
    ui.painter()
        .galley(rect.center() - galley.size() / 2.0, galley, ink);
}
