//! Both eyes, what they do in words, and whether the canal is clear.

use std::f32::consts::TAU;

use egui::{
    Align2, CornerRadius, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo,
    pos2, vec2,
};
use lithodrome_labyrinth::{CanalId, Ear, Vec3};
use lithodrome_nystagmus::now_words;

use crate::{
    case::clearing,
    kit::controls,
    kit::theme::{self, Palette},
    lesson::hidden_ui::hatched,
    session::Session,
    session::command::{Command, EyeTraces, EyesSeenBy, ViewCommand},
    work::stage_data::{EYES_TOLD_LATER, Loaded, NOBODY_LOOKS},
};

/// In place of the eyes of the open scenario while others are read.
const OTHERS_ARE_READ: &str = "The eyes to read are in the column of the lesson.";

const IRIS: f32 = 24.0;
/// An iris is half as wide as the ball of the eye.
const BALL: f32 = 2.0 * IRIS;

/// Shows the eyes panel.
pub fn eyes_ui(ui: &mut Ui, session: &Session, loaded: &Loaded, commands: &mut Vec<Command>) {
    let palette = Palette::of(ui);
    if session.reads_eyes() {
        controls::section(ui, "Eyes");
        controls::line(ui, OTHERS_ARE_READ, theme::body(), palette.weak);
        return;
    }
    let who = session.preferences.eyes_seen_by;
    ui.horizontal(|ui| {
        controls::section(ui, "Eyes");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let options = [
                (
                    EyesSeenBy::Examiner,
                    "examiner",
                    "Seen from in front: the right eye is on the left",
                ),
                (
                    EyesSeenBy::Patient,
                    "patient",
                    "Seen from behind: the right eye is on the right",
                ),
            ];
            if let Some(who) = controls::choice(ui, "Eyes seen by the", who, &options) {
                commands.push(Command::View(ViewCommand::SeeEyesAs(who)));
            }
        });
    });
    let time_s = session.playback.time_s;
    let moving = is_moving(loaded, time_s);
    let words = words_at(loaded, time_s);
    let size = vec2(ui.available_width(), 112.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Both eyes. {words}")));
    draw_watched(ui.painter(), rect, who, loaded, time_s, &palette);
    ui.add_space(4.0);
    let ink = if moving { palette.weak } else { palette.text };
    // Room for three lines, so that nothing below jumps while playing.
    let height = 3.0 * ui.text_style_height(&egui::TextStyle::Body);
    ui.allocate_ui(vec2(ui.available_width(), height), |ui| {
        ui.set_min_height(height);
        controls::line(ui, words, theme::body(), ink);
    });
    // Before the answer whoever watches has the eyes alone.
    if loaded.hidden {
        return;
    }
    traces_ui(ui, session, commands);
    gap(ui);
    controls::section(ui, "Canal");
    clearing_ui(ui, loaded, time_s, &palette);
    gap(ui);
    hold_ui(ui, loaded, time_s, &palette);
}

/// Both eyes small beside what they do in words.
pub fn strip_ui(ui: &mut Ui, session: &Session, loaded: &Loaded) {
    let palette = Palette::of(ui);
    if session.reads_eyes() {
        controls::line(ui, OTHERS_ARE_READ, theme::body(), palette.weak);
        return;
    }
    let time_s = session.playback.time_s;
    let words = words_at(loaded, time_s);
    ui.horizontal(|ui| {
        let (rect, response) = ui.allocate_exact_size(vec2(240.0, 112.0), Sense::hover());
        response
            .widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Both eyes. {words}")));
        let who = session.preferences.eyes_seen_by;
        draw_watched(ui.painter(), rect, who, loaded, time_s, &palette);
        ui.vertical(|ui| {
            controls::section(ui, "Eyes");
            controls::line(ui, words, theme::body(), palette.text);
        });
    });
}

/// The chair moves; before anything plays it stands.
fn is_moving(loaded: &Loaded, time_s: f64) -> bool {
    time_s > 0.0 && loaded.step_at(time_s).is_some_and(|(_, moving)| moving)
}

/// What the eyes do at a time, in words; of a hidden case only that it is told later.
fn words_at(loaded: &Loaded, time_s: f64) -> String {
    if is_moving(loaded, time_s) {
        return "The chair is moving. What the eyes do now answers the turn and tells nothing about debris."
            .to_owned();
    }
    if loaded.is_unwatched(time_s) {
        return format!("{NOBODY_LOOKS}.");
    }
    if loaded.hidden {
        return EYES_TOLD_LATER.to_owned();
    }
    let at = loaded.between(time_s);
    let slow_phase = at.of_vectors(&loaded.eyes.debris_slow_phase_rad_s);
    now_words(slow_phase, &loaded.judging) + "."
}

/// Both eyes at a time; hatched where nobody looks at them.
pub fn draw_watched(
    painter: &Painter,
    rect: Rect,
    who: EyesSeenBy,
    loaded: &Loaded,
    time_s: f64,
    palette: &Palette,
) {
    if loaded.is_unwatched(time_s) {
        hatched(painter, rect, NOBODY_LOOKS, palette);
    } else {
        draw_eyes(painter, rect, who, eyes_turn(loaded, time_s), palette);
    }
}

/// What of the eyes the score draws.
fn traces_ui(ui: &mut Ui, session: &Session, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        ui.label(
            egui::RichText::new("Score:")
                .font(theme::small())
                .color(Palette::of(ui).weak),
        );
        let of = [
            (
                EyeTraces::SlowPhase,
                "slow phase",
                "Draw the velocity of the slow phases in the score",
            ),
            (
                EyeTraces::Position,
                "position",
                "Draw the position of the eyes with their beats in the score",
            ),
        ];
        let now = session.preferences.eye_traces;
        if let Some(of) = controls::choice(ui, "Traces of", now, &of) {
            commands.push(Command::View(ViewCommand::Trace(of)));
        }
    });
}

/// The eye position at the sample nearest to a time; positions jump, so none lies between.
pub(crate) fn eyes_turn(loaded: &Loaded, time_s: f64) -> Vec3 {
    let at = loaded.between(time_s);
    let sample = if at.share < 0.5 { at.before } else { at.after };
    loaded
        .eyes
        .position_rad
        .get(sample)
        .copied()
        .unwrap_or_else(Vec3::zeros)
}

fn gap(ui: &mut Ui) {
    ui.add_space(4.0);
    ui.separator();
    ui.add_space(4.0);
}

/// What is seen over the whole hold of the step under the cursor.
fn hold_ui(ui: &mut Ui, loaded: &Loaded, time_s: f64, palette: &Palette) {
    let step = loaded.step_at(time_s).map_or(0, |(i, _)| i);
    controls::section(ui, "Seen in this hold");
    if let Some(finding) = loaded.findings.get(step) {
        controls::line(ui, finding.clone(), theme::body(), palette.text);
    }
}

fn clearing_ui(ui: &mut Ui, loaded: &Loaded, time_s: f64, palette: &Palette) {
    let places = loaded.places_at(time_s);
    let all = loaded.run.tracks.len();
    let in_utricle = all - places.iter().map(|(_, count)| count).sum::<usize>();
    let affected = loaded.affected();
    let names: Vec<String> = affected
        .iter()
        .map(|&(ear, canal)| CanalId { ear, canal }.name())
        .collect();
    let name = names.join(" and ");
    controls::line(
        ui,
        clearing::words(&places, all, &name),
        theme::body(),
        palette.text,
    );
    if all == 0 {
        return;
    }
    // One dot for each piece: filled once it is in the utricle.
    let per_row = 16usize.min(all);
    let rows = all.min(64).div_ceil(per_row);
    let (rect, response) = ui.allocate_exact_size(
        vec2(ui.available_width(), rows as f32 * 14.0),
        Sense::hover(),
    );
    for i in 0..all.min(64) {
        let centre = rect.min
            + vec2(
                6.0 + 14.0 * (i % per_row) as f32,
                7.0 + 14.0 * (i / per_row) as f32,
            );
        let stroke = Stroke::new(1.5, palette.debris);
        if i < in_utricle {
            ui.painter().circle(centre, 4.5, palette.debris, stroke);
        } else {
            ui.painter().circle_stroke(centre, 4.5, stroke);
        }
    }
    response.on_hover_text("A filled dot is a piece that has reached the utricle");
}

pub(crate) fn draw_eyes(
    painter: &Painter,
    rect: Rect,
    who: EyesSeenBy,
    turn: Vec3,
    palette: &Palette,
) {
    let half = rect.width() / 4.0;
    let sides = match who {
        EyesSeenBy::Examiner => [Ear::Right, Ear::Left],
        EyesSeenBy::Patient => [Ear::Left, Ear::Right],
    };
    for (ear, x) in sides.into_iter().zip([-half, half]) {
        let centre = pos2(rect.center().x + x * 0.98, rect.top() + 46.0);
        draw_eye(painter, centre, (half - 8.0).min(60.0), who, turn, palette);
        let label = pos2(centre.x - 14.0, rect.bottom() - 10.0);
        controls::paint_ear_mark(painter, label, ear);
        let at = label + vec2(10.0, 0.0);
        painter.text(
            at,
            Align2::LEFT_CENTER,
            ear.name(),
            theme::small(),
            palette.weak,
        );
    }
}

/// Screen direction of +1 to the patient's right.
fn right_on_screen(who: EyesSeenBy) -> f32 {
    match who {
        EyesSeenBy::Examiner => -1.0,
        EyesSeenBy::Patient => 1.0,
    }
}

fn draw_eye(
    painter: &Painter,
    centre: Pos2,
    wide: f32,
    who: EyesSeenBy,
    turn: Vec3,
    palette: &Palette,
) {
    let high = wide * 0.58;
    let lid = |angle: f32| {
        let (sin, cos) = angle.sin_cos();
        centre + vec2(wide * cos, high * sin * (1.0 - 0.25 * cos * cos))
    };
    let outline: Vec<Pos2> = (0..48).map(|i| lid(TAU * i as f32 / 48.0)).collect();
    painter.add(Shape::convex_polygon(
        outline.clone(),
        palette.sclera,
        Stroke::NONE,
    ));
    let (torsion, down, left) = (turn.x as f32, turn.y as f32, turn.z as f32);
    let right = right_on_screen(who);
    let middle = centre + vec2(-right * left.sin(), down.sin()) * BALL;
    painter.circle(
        middle,
        IRIS,
        palette.iris,
        Stroke::new(2.0, palette.iris.gamma_multiply(0.6)),
    );
    // The upper pole goes to the patient's right by `torsion`.
    let ray = |i: i32| {
        let angle = TAU * i as f32 / 24.0 + right * torsion;
        Vec2::new(angle.sin(), -angle.cos())
    };
    let light = palette.sclera;
    for i in 0..24 {
        let dir = ray(i);
        let (from, width) = if i % 6 == 0 { (10.0, 1.6) } else { (13.0, 0.8) };
        let ends = [middle + dir * from, middle + dir * (IRIS - 1.5)];
        painter.line_segment(ends, Stroke::new(width, light.gamma_multiply(0.75)));
    }
    painter.circle_filled(middle, 9.5, egui::Color32::from_rgb(0x10, 0x12, 0x14));
    let glint = Rect::from_center_size(middle + vec2(3.5, -4.0), vec2(4.0, 4.0));
    painter.rect_filled(glint, CornerRadius::same(2), light);
    let pole = ray(0);
    let mark = [middle + pole * (IRIS - 1.0), middle + pole * (IRIS + 6.0)];
    painter.line_segment(
        mark,
        Stroke::new(2.5, egui::Color32::from_rgb(0x10, 0x12, 0x14)),
    );
    let mut closed = outline;
    closed.push(closed[0]);
    painter.add(Shape::line(closed, Stroke::new(1.5, palette.faint)));
}
