//! The gravity globe: which way is down in the head, where it has been and will be, what the patient does
//! not allow, and where debris would come to rest.

use std::sync::Arc;

use egui::{
    Align2, Color32, Mesh, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2,
    vec2,
};
use lithodrome_labyrinth::{CanalId, Vec3, frame::head_from_reid};

use crate::{
    kit::theme::{self, Palette},
    session::Session,
    session::command::{Command, ViewCommand},
    stages::ghost,
    stages::globe::{Globe, toward},
    work::stage_data::Loaded,
};
use lithodrome_rehearsal::{CoursePart, DrainMap};

/// Samples of the path drawn at most.
const PATH_POINTS: usize = 600;
/// The globe with the names around it reaches so far beyond its rim, points.
pub const NAMES: f32 = 26.0;
/// Narrower stages have no legend, points; the words under the pointer say the same.
const LEGEND: f32 = 496.0;
/// Size of the tinted cells, points.
const CELL: f32 = 1.5;

/// Draws the globe into the lower right corner of a stage, its legend along the foot.
pub fn globe(
    ui: &mut Ui,
    stage: Rect,
    session: &Session,
    loaded: &Loaded,
    palette: &Palette,
    commands: &mut Vec<Command>,
) {
    let globe = globe_in(stage, session);
    let radius = globe.radius;
    let time_s = session.playback.time_s;
    let now = loaded.between(time_s).of_vectors(&loaded.run.down_in_head);
    let area = globe.area();
    let id = ui.scope_id().with("globe");
    let response = ui.interact(area, id, Sense::click_and_drag());
    let chosen = session.globe_canal();
    let words = words(loaded, &now, chosen);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &words));
    if response.dragged() {
        commands.push(Command::View(ViewCommand::TurnGlobe(
            response.drag_delta(),
            radius,
        )));
    }
    if response.double_clicked() {
        commands.push(Command::View(ViewCommand::TurnGlobeBack));
    }
    let painter = ui.painter_at(stage);
    let ground = palette.stage.gamma_multiply(0.85);
    painter.circle_filled(globe.centre, radius, ground);
    if let Some(id) = chosen {
        regions(ui, &painter, &globe, loaded, id);
    }
    let limit_deg = loaded.scenario.limits.and_then(|l| l.head_down_deg);
    if let Some(deg) = limit_deg {
        forbidden(&painter, &globe, deg, palette);
    }
    painter.circle_stroke(globe.centre, radius, Stroke::new(1.0, palette.faint));
    circles(&painter, &globe, palette);
    names(&painter, &globe, palette);
    if let Some(drive) = &session.drive {
        ghost::on_globe(&painter, &globe, drive, palette);
    }
    path(&painter, &globe, loaded, time_s, palette);
    let (at, front) = globe.place(&now);
    let ring = Stroke::new(2.0, palette.gravity);
    if front {
        painter.circle(at, 5.0, palette.gravity, Stroke::new(1.0, palette.stage));
    } else {
        painter.circle(at, 5.0, palette.stage, ring);
    }
    if let Some(id) = chosen.filter(|_| has_legend(stage)) {
        legend(&painter, stage, id, palette);
    }
    let pointed = response.hover_pos().and_then(|p| globe.direction(p));
    response.on_hover_ui(|ui| {
        if let Some(there) = pointed {
            ui.label(self::words(loaded, &there, chosen));
        }
        ui.label(format!(
            "Now: down is {}. Solid is the path so far, dashed what is to come; a ring is on the far \
             side. Drag to turn, double click to turn back.",
            toward(&now)
        ));
    });
}

/// Where the globe stands on a stage.
pub fn globe_in(stage: Rect, session: &Session) -> Globe {
    let radius = (stage.width().min(stage.height()) * 0.12).clamp(44.0, 72.0);
    let foot = if has_legend(stage) { 56.0 } else { 32.0 };
    Globe {
        centre: stage.right_bottom() - vec2(radius + 32.0, radius + foot),
        radius,
        turn: session.globe_turn,
    }
}

/// The stage is wide enough for the legend along its foot.
pub fn has_legend(stage: Rect) -> bool {
    stage.width() >= LEGEND
}

/// "Gravity globe: down is …; debris of the … would rest in the …".
fn words(loaded: &Loaded, down_in_head: &Vec3, chosen: Option<CanalId>) -> String {
    let mut text = format!("Gravity globe: down is {}", toward(down_in_head));
    if let Some(id) = chosen {
        let rest = drain(loaded, id).at(&in_reid(loaded, down_in_head)).name();
        text = format!("{text}. The lowest place of the {}: {rest}", id.name());
    }
    text
}

fn drain(loaded: &Loaded, id: CanalId) -> &DrainMap {
    &loaded.ears[id.ear.index()].drains[id.canal.index()]
}

fn in_reid(loaded: &Loaded, v_in_head: &Vec3) -> Vec3 {
    head_from_reid(loaded.reid_pitch_nose_up_rad).inverse() * v_in_head
}

/// The tint of a stretch: the canal's own, the stronger the nearer to the cupula.
fn tint(id: CanalId, rest: CoursePart, palette: &Palette) -> Color32 {
    let share = match rest {
        CoursePart::AmpullaryArm => 0.85,
        CoursePart::Apex => 0.6,
        CoursePart::FarArm => 0.38,
        CoursePart::Crus => 0.2,
        CoursePart::Out => 0.0,
    };
    palette
        .stage
        .lerp_to_gamma(theme::canal_colour(id.canal), share)
}

/// What the tints of the last picture were made for.
type TintKey = (CanalId, [f64; 2], i32, bool, usize);

/// The tinted regions; made anew only when the globe turns.
fn regions(ui: &Ui, painter: &Painter, globe: &Globe, loaded: &Loaded, id: CanalId) {
    let palette = Palette::of(ui);
    let key: TintKey = (
        id,
        [globe.turn.turn_rad, globe.turn.height_rad],
        (globe.radius * 16.0) as i32,
        palette.dark,
        std::ptr::from_ref(drain(loaded, id)) as usize,
    );
    let place = egui::Id::unique("globe tints");
    let kept = ui.data(|d| d.get_temp::<(TintKey, Pos2, Arc<Mesh>)>(place));
    let mesh = match kept {
        Some((for_key, at, mesh)) if for_key == key && at == globe.centre => mesh,
        _ => {
            let mesh = Arc::new(tinted(globe, loaded, id, &palette));
            ui.data_mut(|d| d.insert_temp(place, (key, globe.centre, mesh.clone())));
            mesh
        }
    };
    painter.add(Shape::Mesh(mesh));
}

/// Rows of small cells over the disc; neighbours of one tint become one piece.
fn tinted(globe: &Globe, loaded: &Loaded, id: CanalId, palette: &Palette) -> Mesh {
    let map = drain(loaded, id);
    let reid = head_from_reid(loaded.reid_pitch_nose_up_rad).inverse();
    let mut mesh = Mesh::default();
    let cells = (2.0 * globe.radius / CELL).ceil() as i32;
    let corner = globe.centre - vec2(globe.radius, globe.radius);
    for row in 0..cells {
        let y = corner.y + (row as f32 + 0.5) * CELL;
        let half = (globe.radius.powi(2) - (y - globe.centre.y).powi(2)).max(0.0);
        let (left, right) = (globe.centre.x - half.sqrt(), globe.centre.x + half.sqrt());
        let rest_at = |x: f32| {
            let direction = globe.direction(pos2(x, y));
            direction.map(|v| map.at(&(reid * v)))
        };
        let mut piece = |from: f32, to: f32, rest: CoursePart| {
            let rect = Rect::from_x_y_ranges(from..=to, y - CELL / 2.0..=y + CELL / 2.0);
            mesh.add_colored_rect(rect, tint(id, rest, palette));
        };
        let (mut from, mut x) = (left, left + CELL / 2.0);
        let mut before: Option<CoursePart> = None;
        while x < right {
            let rest = rest_at(x).or(before);
            if let (Some(rest), Some(was)) = (rest, before)
                && rest != was
            {
                piece(from, x - CELL / 2.0, was);
                from = x - CELL / 2.0;
            }
            before = rest;
            x += CELL;
        }
        if let Some(rest) = before {
            piece(from, right, rest);
        }
    }
    mesh
}

/// Rings around the top of the head, where gravity would be further below the horizontal than allowed.
fn forbidden(painter: &Painter, globe: &Globe, head_down_deg: f64, palette: &Palette) {
    let mut below_deg = head_down_deg;
    while below_deg < 90.0 {
        let (z, across) = below_deg.to_radians().sin_cos();
        let width = if below_deg > head_down_deg { 1.0 } else { 2.0 };
        let ring = (0..=72).map(|i| {
            let turn = std::f64::consts::TAU * f64::from(i) / 72.0;
            Vec3::new(across * turn.cos(), across * turn.sin(), z)
        });
        near_line(painter, globe, ring, Stroke::new(width, palette.text));
        below_deg += 7.0;
    }
}

/// The part of a line that is on the near side.
fn near_line(painter: &Painter, globe: &Globe, line: impl Iterator<Item = Vec3>, stroke: Stroke) {
    let mut part: Vec<Pos2> = Vec::new();
    for v in line {
        let (at, near) = globe.place(&v);
        if near {
            part.push(at);
        } else if part.len() > 1 {
            painter.add(Shape::line(std::mem::take(&mut part), stroke));
        } else {
            part.clear();
        }
    }
    if part.len() > 1 {
        painter.add(Shape::line(part, stroke));
    }
}

fn circles(painter: &Painter, globe: &Globe, palette: &Palette) {
    let pairs = [
        (Vec3::x(), Vec3::y()),
        (Vec3::x(), Vec3::z()),
        (Vec3::y(), Vec3::z()),
    ];
    for (a, b) in pairs {
        let circle = (0..=72).map(|i| {
            let angle = std::f64::consts::TAU * f64::from(i) / 72.0;
            a * angle.cos() + b * angle.sin()
        });
        let stroke = Stroke::new(1.0, palette.faint.gamma_multiply(0.6));
        near_line(painter, globe, circle, stroke);
    }
}

fn names(painter: &Painter, globe: &Globe, palette: &Palette) {
    for (text, axis) in [
        ("nose", Vec3::x()),
        ("back", -Vec3::x()),
        ("top", Vec3::z()),
        ("feet", -Vec3::z()),
        ("left", Vec3::y()),
        ("right", -Vec3::y()),
    ] {
        let (at, front) = globe.place(&axis);
        if !front {
            continue;
        }
        // Those near the rim stand outside of it, the others on the globe.
        let off = at - globe.centre;
        let far = off.length() > 0.75 * globe.radius;
        let at = if far {
            globe.centre + off.normalized() * (globe.radius + 15.0)
        } else {
            at
        };
        let galley = painter.layout_no_wrap(text.to_owned(), theme::small(), palette.text);
        let place = Align2::CENTER_CENTER.anchor_size(at, galley.size());
        let ground = palette.stage.gamma_multiply(0.6);
        painter.rect_filled(place.expand2(vec2(2.0, -1.0)), 3.0, ground);
        painter.galley(place.min, galley, palette.text);
    }
}

fn path(painter: &Painter, globe: &Globe, loaded: &Loaded, time_s: f64, palette: &Palette) {
    let column = &loaded.run.down_in_head;
    let stride = (column.len() / PATH_POINTS).max(1);
    let mut before: Option<(Pos2, bool)> = None;
    let mut planned: [Vec<Pos2>; 2] = [Vec::new(), Vec::new()];
    for (i, v) in column.iter().enumerate().step_by(stride) {
        let now = globe.place(v);
        let Some((from, near)) = before else {
            before = Some(now);
            continue;
        };
        if from.distance(now.0) <= 0.3 {
            continue;
        }
        let near = near && now.1;
        let share = if near { 0.95 } else { 0.35 };
        let ink = palette.gravity.gamma_multiply(share);
        if loaded.run.time_s[i] <= time_s {
            painter.line_segment([from, now.0], Stroke::new(2.0, ink));
        } else {
            planned[usize::from(near)].extend([from, now.0]);
        }
        before = Some(now);
    }
    for (ends, share) in planned.iter().zip([0.35, 0.9]) {
        let stroke = Stroke::new(1.0, palette.gravity.gamma_multiply(share));
        // Short pieces in a row: every second stretch of 3 points is left out.
        let mut way = 0.0;
        for pair in ends.chunks_exact(2) {
            if (way / 3.0) as i32 % 2 == 0 {
                painter.line_segment([pair[0], pair[1]], stroke);
            }
            way += pair[0].distance(pair[1]);
        }
    }
}

/// One line at the foot of the stage: the tints and their stretches of the canal.
fn legend(painter: &Painter, stage: Rect, id: CanalId, palette: &Palette) {
    let has_crus = id.canal != lithodrome_labyrinth::Canal::Lateral;
    let text = |words: &str| {
        let words = words.to_owned();
        painter.layout_no_wrap(words, theme::small(), palette.weak)
    };
    let rests: Vec<_> = CoursePart::ALL
        .into_iter()
        .filter(|&rest| rest != CoursePart::Crus || has_crus)
        .map(|rest| (tint(id, rest, palette), text(rest.name())))
        .collect();
    let head = text("lowest at");
    let wide: f32 = rests.iter().map(|(_, t)| t.size().x + 26.0).sum();
    let room = stage.width() - 32.0;
    let mut at = pos2(stage.right() - 16.0 - wide + 10.0, stage.bottom() - 20.0);
    if wide + head.size().x + 10.0 <= room {
        let place = at - vec2(head.size().x + 10.0, head.size().y / 2.0);
        painter.galley(place, head, palette.weak);
    }
    for (ink, words) in rests {
        let swatch = Rect::from_center_size(at + vec2(5.0, 0.0), vec2(10.0, 10.0));
        let line = Stroke::new(1.0, palette.faint);
        painter.rect(swatch, 1.0, ink, line, egui::StrokeKind::Inside);
        let size = words.size();
        let place = at + vec2(16.0, -size.y / 2.0);
        painter.galley(place, words, palette.weak);
        at.x += size.x + 26.0;
    }
}
