//! What both stages share: meshes, pointer, title, and a plain message where nothing can be drawn.

use egui::{
    Align2, Color32, CursorIcon, Painter, PointerButton, Pos2, Rect, Response, Role, Sense, Ui,
    UiBuilder, WidgetInfo, vec2,
};

use crate::{
    kit::controls,
    kit::theme::{self, Palette},
    session::Session,
    session::command::{Command, ViewCommand},
    stages::render::StageId,
    stages::scene::{Quality, ear_scene::EarScene, room_scene::RoomScene},
};

const NO_CARD: &str = "This stage needs a graphics card or a software one, and neither was found.\n\
    The score, the eyes and the case work without it.";

/// Meshes of the stages; none without a graphics card.
#[derive(Default)]
pub struct Scenes {
    /// The room's.
    pub room: Option<RoomScene>,
    /// The ears'.
    pub ear: Option<EarScene>,
}

/// What all panels are shown with.
#[derive(Clone, Copy)]
pub struct Shown<'a> {
    /// All state.
    pub session: &'a Session,
    /// Meshes of the stages.
    pub scenes: &'a Scenes,
    /// Moving or still.
    pub quality: Quality,
    /// The stages share one place.
    pub alone: bool,
    /// For a picture: without controls.
    pub bare: bool,
}

/// Takes a stage's place and its pointer; returns where to draw. `field` is the picture's field of view,
/// points. While `driving` the left button is the hand on the chair: where it misses, nothing turns; the view is
/// turned by the middle one.
pub fn stage_area(
    ui: &mut Ui,
    stage: StageId,
    name: &str,
    field: f32,
    driving: bool,
    commands: &mut Vec<Command>,
) -> (Rect, Response) {
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, name));
    let drag = response.drag_delta();
    let drag = glam::Vec2::new(drag.x, drag.y);
    if response.double_clicked() {
        commands.push(Command::View(ViewCommand::Fit(stage)));
    } else if drag == glam::Vec2::ZERO {
        // The pointer rests.
    } else if driving && response.dragged_by(PointerButton::Primary) {
        // It was meant for the chair.
    } else if response.dragged_by(PointerButton::Primary)
        || (driving && response.dragged_by(PointerButton::Middle))
    {
        commands.push(Command::View(ViewCommand::Orbit(stage, drag)));
    } else {
        commands.push(Command::View(ViewCommand::Pan(stage, drag, field)));
    }
    if response.hovered() {
        let wheel = ui.input(|i| i.smooth_scroll_delta().y);
        let pinch = ui.input(egui::InputState::zoom_delta);
        let factor = (wheel / 240.0).exp() * pinch;
        if (factor - 1.0).abs() > 1e-4 {
            commands.push(Command::View(ViewCommand::Zoom(stage, factor)));
        }
    }
    let mut ground = ui.painter().clone();
    ground.set_opacity(1.0);
    ground.rect_filled(rect, 0.0, Palette::of(ui).stage);
    let cursor = if driving {
        CursorIcon::Default
    } else {
        CursorIcon::Grab
    };
    (rect, response.on_hover_and_drag_cursor(cursor))
}

/// Size of a stage for the camera.
pub fn size_of(rect: Rect) -> glam::Vec2 {
    glam::Vec2::new(rect.width(), rect.height())
}

/// Writes the stage's title into its corner, or a choice of stages where one is shown at a time.
pub fn title(ui: &mut Ui, rect: Rect, shown: StageId, alone: bool, commands: &mut Vec<Command>) {
    let stages = [
        (StageId::Room, "Room", "Show the room stage"),
        (StageId::Ear, "Ear", "Show the ear stage"),
    ];
    if !alone {
        let name = stages.iter().find(|s| s.0 == shown).map_or("", |s| s.1);
        let at = rect.left_top() + vec2(16.0, 24.0);
        let ink = Palette::of(ui).weak;
        ui.painter()
            .text(at, Align2::LEFT_CENTER, name, theme::small_strong(), ink);
        return;
    }
    let strip = Rect::from_min_size(rect.min + vec2(16.0, 12.0), vec2(160.0, 24.0));
    ui.scope_builder(UiBuilder::new().max_rect(strip), |ui| {
        if let Some(stage) = controls::choice(ui, "Stage", shown, &stages) {
            commands.push(Command::View(ViewCommand::ShowStage(stage)));
        }
    });
}

/// Writes a small label on a stage, with a ground of its own so that it can be read anywhere.
pub fn label(
    painter: &Painter,
    rect: Rect,
    at: Pos2,
    align: Align2,
    text: &str,
    ink: Color32,
    palette: &Palette,
) -> Rect {
    let galley = painter.layout_no_wrap(text.to_owned(), theme::small(), ink);
    let place = align.anchor_size(at, galley.size());
    let inside = rect.shrink2(galley.size() / 2.0 + vec2(6.0, 6.0));
    let place = Rect::from_center_size(inside.clamp(place.center()), galley.size());
    let ground = palette.stage.gamma_multiply(0.72);
    painter.rect_filled(place.expand2(vec2(3.0, 0.0)), 3.0, ground);
    painter.galley(place.min, galley, ink);
    place
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
