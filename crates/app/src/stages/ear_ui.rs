//! The ear stage: the labyrinth of glass with its debris, cupulae and gravity.

use egui::{Align2, Painter, Rect, Ui, UiBuilder, pos2, vec2};
use lithodrome_labyrinth::CanalId;

use crate::{
    kit::controls,
    kit::theme::{self, Palette},
    session::Session,
    session::command::{Command, EarFrame, EarShown, LookFrom, ViewCommand},
    stages::camera::{Aim, BOTH_SEEN, ONE_SEEN},
    stages::ear_labels,
    stages::globe::Globe,
    stages::globe_ui,
    stages::render::{self, StageId},
    stages::scene::{
        ear_marks,
        ear_scene::{self, BULGE_FACTOR, EarScene, Marks, Moment},
    },
    stages::stage_ui,
    stages::stage_ui::Shown,
    work::stage_data::Loaded,
};

/// Shows the stage.
pub fn ear_ui(ui: &mut Ui, shown: Shown<'_>, loaded: &Loaded, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    let (session, quality) = (shown.session, shown.quality);
    let moment = Moment {
        loaded,
        time_s: session.playback.time_s,
        shown: session.ear_shown(),
        frame: session.preferences.ear_frame,
        canal: session.plane_canal(),
    };
    let name = match moment.shown {
        EarShown::Right => "Ear stage: right ear",
        EarShown::Left => "Ear stage: left ear",
        EarShown::Both => "Ear stage: both ears",
    };
    let head = if shown.bare {
        0.0
    } else {
        controls_height(ui.available_width(), shown.alone)
    };
    let room = ui.available_rect_before_wrap();
    let seen = match moment.shown {
        EarShown::Right | EarShown::Left => ONE_SEEN,
        EarShown::Both => BOTH_SEEN,
    };
    let globe = globe_ui::globe_in(room, session);
    let aim = aim_in(picture_in(room, head), seen, globe);
    let (rect, _) = stage_ui::stage_area(ui, StageId::Ear, name, aim.field, false, commands);
    if let Some(scene) = &shown.scenes.ear {
        // The picture and its labels keep clear of the controls.
        let free = picture_in(rect, head);
        let size = stage_ui::size_of(free);
        let marks = Marks {
            planes: session.preferences.planes_shown,
            flow: session.preferences.flow_shown,
        };
        let picture = scene.picture(
            moment,
            marks,
            &session.ear_camera,
            (size, aim),
            &palette,
            quality,
        );
        let view = picture.view;
        let balls: Vec<_> = picture
            .balls
            .iter()
            .map(|b| view.on_screen(b.centre.into()))
            .collect();
        render::paint(ui.painter(), free, StageId::Ear, picture);
        let painter = ui.painter_at(free);
        let balls = balls.iter().map(|at| free.min + vec2(at.x, at.y));
        let globe = globe_ui::globe_in(rect, session);
        let anchor = ear_scene::gravity_place(size);
        let arrow = free.min + vec2(anchor.x, anchor.y);
        let mut taken = vec![
            globe.area().expand(globe_ui::NAMES),
            Rect::from_center_size(arrow, vec2(52.0, 52.0)),
            // The notes and the legend.
            Rect::from_min_max(
                free.left_bottom() - vec2(0.0, NOTES.y),
                free.left_bottom()
                    + vec2(
                        if globe_ui::has_legend(rect) {
                            NOTES.x
                        } else {
                            NARROW_NOTES
                        },
                        0.0,
                    ),
            ),
            free.with_min_y(free.bottom() - 30.0),
        ];
        taken.extend(
            balls
                .clone()
                .map(|at| Rect::from_center_size(at, vec2(20.0, 20.0))),
        );
        ear_labels::canals(&painter, free, taken, &view, scene, moment, &palette);
        ear_labels::heaps(&painter, free, balls, &palette);
        if EarScene::ears(moment.shown)
            .iter()
            .any(|&ear| scene.lumen(ear).is_none())
        {
            let ink = palette.weak;
            painter.text(
                free.center(),
                Align2::CENTER_CENTER,
                "Drawing the ear…",
                theme::body(),
                ink,
            );
        }
        notes(&painter, rect, marks, moment, &palette);
    } else {
        stage_ui::no_card(ui, rect);
    }
    globe_ui::globe(ui, rect, session, loaded, &palette, commands);
    if !shown.bare {
        stage_ui::title(ui, rect, StageId::Ear, shown.alone, commands);
        choices(ui, rect, shown, moment, commands);
    }
}

/// The part of the stage below its controls.
fn picture_in(stage: Rect, head: f32) -> Rect {
    stage.with_min_y((stage.top() + head).min(stage.bottom()))
}

/// Where the ear stands in its picture: beside the globe.
fn aim_in(picture: Rect, seen: f32, globe: Globe) -> Aim {
    let at = globe.centre - picture.min;
    let reach = globe.radius + globe_ui::NAMES;
    let at = glam::Vec2::new(at.x, at.y);
    Aim::beside(stage_ui::size_of(picture), seen, at, reach)
}

/// Room that the notes take, points.
const NOTES: egui::Vec2 = vec2(304.0, 82.0);
/// Their width where each has a line of its own, points.
const NARROW_NOTES: f32 = 224.0;
/// Narrower than this, the controls take a row more, points; the second where the choice of stages stands
/// beside them.
const NARROW: [f32; 2] = [420.0, 456.0];
/// From one row of controls to the next, points.
const ROW: f32 = 30.0;

/// The controls take a row more.
fn is_narrow(width: f32, alone: bool) -> bool {
    width < NARROW[usize::from(alone)]
}

/// Height that the controls take at the head of a stage, points.
fn controls_height(width: f32, alone: bool) -> f32 {
    let rows = if is_narrow(width, alone) { 3.0 } else { 2.0 };
    8.0 + ROW * rows
}

/// What is shown and how, in rows at the head of the stage.
fn choices(
    ui: &mut Ui,
    rect: Rect,
    shown: Shown<'_>,
    moment: Moment<'_>,
    commands: &mut Vec<Command>,
) {
    let session = shown.session;
    let row = |ui: &mut Ui, i: usize, show: &mut dyn FnMut(&mut Ui)| {
        // The title, or the choice of stages, stands at the left of the first row.
        let left = match (i, shown.alone) {
            (0, true) => 104.0,
            (0, false) => 56.0,
            _ => 16.0,
        };
        let strip = Rect::from_min_max(
            rect.min + vec2(left, 12.0 + ROW * i as f32),
            pos2(rect.right() - 16.0, rect.top() + 36.0 + ROW * i as f32),
        );
        let layout = egui::Layout::right_to_left(egui::Align::Center);
        let place = UiBuilder::new().max_rect(strip).layout(layout);
        ui.scope_builder(place, |ui| show(ui));
    };
    if is_narrow(rect.width(), shown.alone) {
        row(ui, 0, &mut |ui| frames(ui, moment, commands));
        row(ui, 1, &mut |ui| {
            ears(ui, moment, commands);
            ui.add_space(8.0);
            canal_choice(ui, session, commands);
        });
        row(ui, 2, &mut |ui| views(ui, session, commands));
    } else {
        row(ui, 0, &mut |ui| {
            frames(ui, moment, commands);
            ui.add_space(8.0);
            ears(ui, moment, commands);
        });
        row(ui, 1, &mut |ui| {
            views(ui, session, commands);
            ui.add_space(8.0);
            canal_choice(ui, session, commands);
        });
    }
}

fn frames(ui: &mut Ui, moment: Moment<'_>, commands: &mut Vec<Command>) {
    let frames = [
        (
            EarFrame::Head,
            "head still",
            "The head stands still and gravity turns",
        ),
        (
            EarFrame::Room,
            "room still",
            "Gravity stands still and the head turns",
        ),
        (
            EarFrame::Canal,
            "canal still",
            "The plane of the chosen canal is the plane of the picture and gravity turns",
        ),
    ];
    if let Some(frame) = controls::choice(ui, "Ear fixed to", moment.frame, &frames) {
        commands.push(Command::View(ViewCommand::FixEarTo(frame)));
    }
}

fn ears(ui: &mut Ui, moment: Moment<'_>, commands: &mut Vec<Command>) {
    let ears = [
        (EarShown::Right, "right", "Show the right ear"),
        (EarShown::Left, "left", "Show the left ear"),
        (EarShown::Both, "both", "Show both ears, moved together"),
    ];
    if let Some(ears) = controls::choice(ui, "Ear shown", moment.shown, &ears) {
        commands.push(Command::View(ViewCommand::ShowEar(ears)));
    }
}

/// Where to look from, and what is drawn beside the glass.
fn views(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let preferences = &session.preferences;
    let on = [preferences.planes_shown, preferences.flow_shown];
    let planes = "Planes of the canals; the one nearest to the vertical is stronger";
    let flow = "Flow of endolymph: arrows in the ducts, longer where it is faster";
    if controls::toggle(ui, "flow", on[1], flow) {
        commands.push(Command::View(ViewCommand::ShowFlow(!on[1])));
    }
    if controls::toggle(ui, "planes", on[0], planes) {
        commands.push(Command::View(ViewCommand::ShowPlanes(!on[0])));
    }
    ui.add_space(8.0);
    let from = [
        (Some(LookFrom::Side), "side", "Look from the ear's side"),
        (Some(LookFrom::Front), "front", "Look from in front"),
        (Some(LookFrom::Top), "top", "Look from above"),
        (
            Some(LookFrom::Canal),
            "canal",
            "Look square to the plane of the chosen canal",
        ),
    ];
    if let Some(Some(from)) = controls::choice(ui, "Look from", None, &from) {
        commands.push(Command::View(ViewCommand::Look(from)));
    }
}

/// The canal that the globe, its legend and the plane's view are about.
fn canal_choice(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    let chosen = session.plane_canal();
    let short = |id: CanalId| format!("{} {}", id.ear.name(), id.canal.name());
    let combo = egui::ComboBox::from_id_salt("canal")
        .selected_text(egui::RichText::new(short(chosen)).font(theme::small()))
        .width(112.0)
        .show_ui(ui, |ui| {
            for id in CanalId::ALL {
                if ui.selectable_label(id == chosen, short(id)).clicked() {
                    commands.push(Command::View(ViewCommand::ChooseCanal(id)));
                }
            }
        });
    let name = format!("Chosen canal: {}", short(chosen));
    combo
        .response
        .widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, &name));
    combo
        .response
        .on_hover_text("The canal that the globe's tints and the canal's view are about");
}

/// A stage wider than this has room for two notes in a line beside the ear, points.
const ROOM_FOR_BOTH: f32 = 640.0;

/// What the arrow and the exaggeration mean.
fn notes(painter: &Painter, rect: Rect, marks: Marks, moment: Moment<'_>, palette: &Palette) {
    let loaded = moment.loaded;
    let ear = moment.canal.ear;
    let (canal, off_rad) = ear_marks::nearest_vertical(loaded, ear, &moment.down_in_reid());
    let off = off_rad.to_degrees();
    let bulge = format!("cupula bulge {BULGE_FACTOR:.0}×");
    let fastest = loaded.fastest_flow_pl_s;
    let flow = if fastest < 0.5 {
        "no flow".to_owned()
    } else {
        format!("longest flow arrow {fastest:.0} pL/s")
    };
    // A narrow stage has the globe beside the notes and no legend below them.
    let wide = globe_ui::has_legend(rect);
    let plane = if wide { " plane" } else { "" };
    let mut lines = vec![
        "gravity".to_owned(),
        format!("most upright{plane}: {}, {off:.0}° off", canal.name()),
    ];
    match (marks.flow, wide) {
        (true, true) if rect.width() > ROOM_FOR_BOTH => lines.push(format!("{bulge}, {flow}")),
        (true, _) => lines.extend([bulge, flow]),
        (false, _) => lines.push(bulge),
    }
    let foot = if wide { 34.0 } else { 12.0 };
    if let Some(deg) = loaded.scenario.limits.and_then(|l| l.head_down_deg) {
        lines.insert(1, format!("rings: not allowed, head below {deg:.0}°"));
    }
    for (i, line) in lines.iter().rev().enumerate() {
        let at = rect.left_bottom() + vec2(16.0, -foot - 15.0 * i as f32);
        painter.text(at, Align2::LEFT_BOTTOM, line, theme::small(), palette.weak);
    }
}
