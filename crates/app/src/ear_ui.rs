//! The ear stage: the labyrinth of glass with its debris, cupulae and gravity.

use egui::{Align2, Painter, Rect, Ui, UiBuilder, vec2};
use glam::Vec3;
use lithodrome_labyrinth::Canal;

use crate::{
    command::{Command, EarFrame, EarShown},
    controls, globe_ui,
    render::{self, StageId},
    scene::{
        Quality,
        ear_scene::{BULGE_FACTOR, EarScene, Moment},
    },
    session::Session,
    stage_data::Loaded,
    stage_ui,
    theme::{self, Palette},
};

/// Shows the stage; `scene` is none without a graphics card.
pub fn ear_ui(
    ui: &mut Ui,
    session: &Session,
    loaded: &Loaded,
    scene: Option<&EarScene>,
    quality: Quality,
    commands: &mut Vec<Command>,
) {
    let palette = Palette::of(ui);
    let moment = Moment {
        loaded,
        time_s: session.playback.time_s,
        shown: session.ear_shown(),
        frame: session.preferences.ear_frame,
    };
    let name = match moment.shown {
        EarShown::Right => "Ear stage: right ear",
        EarShown::Left => "Ear stage: left ear",
        EarShown::Both => "Ear stage: both ears",
    };
    let (rect, _) = stage_ui::stage_area(ui, StageId::Ear, name, commands);
    if let Some(scene) = scene {
        let size = stage_ui::size_of(rect);
        let picture = scene.picture(moment, &session.ear_camera, size, &palette, quality);
        let view = picture.view;
        render::paint(ui.painter(), rect, StageId::Ear, picture);
        let painter = ui.painter_at(rect);
        labels(&painter, rect, &view, scene, moment, &palette);
        let below = rect.left_bottom() + vec2(16.0, -12.0);
        painter.text(
            below,
            Align2::LEFT_BOTTOM,
            "gravity",
            theme::small(),
            palette.weak,
        );
        let note = format!("cupula bulge drawn {BULGE_FACTOR:.0}×");
        let at = rect.left_bottom() + vec2(104.0, -12.0);
        painter.text(at, Align2::LEFT_BOTTOM, note, theme::small(), palette.weak);
    } else {
        stage_ui::no_card(ui, rect);
    }
    stage_ui::title(ui, rect, "Ear");
    globe_ui::globe(ui, rect, loaded, moment.time_s, &palette);
    choices(ui, rect, moment, commands);
}

fn choices(ui: &mut Ui, rect: Rect, moment: Moment<'_>, commands: &mut Vec<Command>) {
    let strip = Rect::from_min_size(rect.min + vec2(56.0, 12.0), vec2(rect.width() - 72.0, 24.0));
    let layout = egui::Layout::right_to_left(egui::Align::Center);
    ui.scope_builder(UiBuilder::new().max_rect(strip).layout(layout), |ui| {
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
        ];
        if let Some(frame) = controls::choice(ui, "Ear fixed to", moment.frame, &frames) {
            commands.push(Command::FixEarTo(frame));
        }
        ui.add_space(8.0);
        let ears = [
            (EarShown::Right, "right", "Show the right ear"),
            (EarShown::Left, "left", "Show the left ear"),
            (EarShown::Both, "both", "Show both ears, moved together"),
        ];
        if let Some(ears) = controls::choice(ui, "Ear shown", moment.shown, &ears) {
            commands.push(Command::ShowEar(ears));
        }
    });
}

/// Writes each canal's name beside its arc.
fn labels(
    painter: &Painter,
    rect: Rect,
    view: &crate::camera::View,
    scene: &EarScene,
    moment: Moment<'_>,
    palette: &Palette,
) {
    for &ear in EarScene::ears(moment.shown) {
        let stage_from_reid = scene.stage_from_reid(moment, ear);
        let shape = &moment.loaded.ears[ear.index()];
        let place = |p: lithodrome_labyrinth::Vec3| {
            let at =
                stage_from_reid.transform_point3(Vec3::new(p.x as f32, p.y as f32, p.z as f32));
            let at = view.on_screen(at);
            rect.min + vec2(at.x, at.y)
        };
        let middle = place(
            shape
                .labels_in_reid_mm
                .iter()
                .sum::<lithodrome_labyrinth::Vec3>()
                / 3.0,
        );
        for canal in Canal::ALL {
            let at = place(shape.labels_in_reid_mm[canal.index()]);
            let out = (at - middle).normalized();
            let from = at + out * 14.0;
            let to = at + out * 26.0;
            painter.line_segment(
                [from, to],
                egui::Stroke::new(1.5, theme::canal_colour(canal)),
            );
            let align = if out.x.abs() < 0.4 {
                if out.y < 0.0 {
                    Align2::CENTER_BOTTOM
                } else {
                    Align2::CENTER_TOP
                }
            } else if out.x > 0.0 {
                Align2::LEFT_CENTER
            } else {
                Align2::RIGHT_CENTER
            };
            painter.text(
                to + out * 4.0,
                align,
                canal.name(),
                theme::small(),
                palette.text,
            );
        }
        if moment.shown == EarShown::Both {
            let at = place(shape.labels_in_reid_mm[0]) + vec2(0.0, -56.0);
            controls::paint_ear_mark(painter, at, ear);
        }
    }
}
