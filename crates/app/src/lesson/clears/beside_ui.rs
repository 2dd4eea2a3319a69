//! Two manoeuvres in one ear on one time axis: their steps, both courses, and where they part first.

use egui::{
    Align2, CornerRadius, Painter, Rect, RichText, Role, Sense, Shape, Stroke, Ui, WidgetInfo,
    pos2, vec2,
};
use lithodrome_debris::Track;
use lithodrome_labyrinth::{CanalId, Region};
use lithodrome_rehearsal::Parting;

use super::{desk::sentence, state::Beside};
use crate::{
    kit::controls::{self, capital},
    kit::ear_dots,
    kit::theme::{self, Palette},
    score::axis::{self, TimeAxis, clock},
    score::curve,
    work::stage_data::Loaded,
};

const LABELS: f32 = 72.0;
const BAND: f32 = 24.0;
const FOOT: f32 = 24.0;
/// Room below the cupula for what lies in the short arm, mm.
const SHORT_ARM_MM: f32 = 1.5;
/// A way longer than this from one sample to the next is through the utricle, mm.
const JUMP_MM: f32 = 3.0;

/// Shows them.
pub(super) fn beside_ui(ui: &mut Ui, beside: &Beside) {
    let palette = Palette::of(ui);
    let case = format!(
        "{}, {}, ear {}",
        beside.asked.canal.name(),
        beside.asked.place.name(),
        beside.ear + 1
    );
    ui.label(RichText::new(format!("Beside each other: {case}")).font(theme::heading()));
    for (k, title) in beside.titles.iter().enumerate() {
        let phrases = &beside.runs[k].report.verdict_phrases;
        let line = ["Solid", "Dashed"][k];
        let words = format!("{line}: {title}. {}.", capital(&sentence(phrases)));
        controls::line(ui, words, theme::body(), palette.text);
    }
    let parting = parting_words(beside);
    controls::line(ui, &parting, theme::body_strong(), palette.text);
    ui.add_space(8.0);
    let size = ui.available_size().max(vec2(320.0, 240.0));
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| {
        let name = format!("Both courses over time. {parting}");
        WidgetInfo::labeled(Role::Image, true, name)
    });
    draw(&ui.painter_at(rect), rect, beside, &palette);
}

fn parting_words(beside: &Beside) -> String {
    let Some(parting) = &beside.parting else {
        let end = ear_dots::end_name(beside.ends[0]);
        return format!("They do not part: in both the debris is never 1 mm apart ({end}).");
    };
    let at = clock(parting.time_s);
    let how = if let Some(mm) = parting.ahead_mm {
        let first = if mm > 0.0 { "second" } else { "first" };
        format!("the {first} is {:.1} mm ahead", mm.abs())
    } else {
        let [a, b] = parting
            .parts
            .map(|part| part_name(beside.asked.canal, part));
        format!("in the first it is in the {a}, in the second in the {b}")
    };
    format!("They part at {at}: {how}.")
}

fn part_name(canal: CanalId, part: Region) -> String {
    let of = |c| CanalId { canal: c, ..canal }.name();
    match part {
        Region::Duct(c) => of(c),
        Region::ShortArm(c) => format!("short arm of the {}", of(c)),
        Region::CommonCrus => "common crus".to_owned(),
        Region::Utricle => "utricle".to_owned(),
    }
}

fn draw(painter: &Painter, rect: Rect, beside: &Beside, palette: &Palette) {
    let duration_s = beside
        .runs
        .iter()
        .map(|run| run.duration_s())
        .fold(0.0, f64::max);
    let plot = Rect::from_min_max(
        pos2(rect.left() + LABELS, rect.top()),
        pos2(rect.right() - 8.0, rect.bottom() - FOOT),
    );
    let time = TimeAxis {
        left: plot.left(),
        right: plot.right(),
        duration_s,
    };
    for (k, run) in beside.runs.iter().enumerate() {
        let top = plot.top() + k as f32 * (BAND + 4.0);
        let band = Rect::from_x_y_ranges(plot.x_range(), top..=top + BAND);
        steps(painter, band, &time, run, ["solid", "dashed"][k], palette);
    }
    let course = plot.with_min_y(plot.top() + 2.0 * (BAND + 4.0) + 16.0);
    marks(painter, course, beside, palette);
    for (k, run) in beside.runs.iter().enumerate() {
        for track in &run.run.tracks {
            line(
                painter,
                course,
                &time,
                beside,
                (run, track),
                k == 1,
                palette,
            );
        }
    }
    if let Some(parting) = &beside.parting {
        parted(painter, course, &time, parting, palette);
    }
    let foot = Rect::from_min_max(plot.left_bottom(), pos2(plot.right(), rect.bottom()));
    painter.hline(plot.x_range(), plot.bottom(), palette.hair());
    axis::ticks(painter, &time, foot, f32::MIN, palette);
}

/// The steps of a run as blocks with their names, as far as there is room.
fn steps(
    painter: &Painter,
    band: Rect,
    time: &TimeAxis,
    run: &Loaded,
    label: &str,
    palette: &Palette,
) {
    let at = pos2(band.left() - 8.0, band.center().y);
    painter.text(
        at,
        Align2::RIGHT_CENTER,
        label,
        theme::small(),
        palette.weak,
    );
    for (step, times) in run.scenario.steps.iter().zip(&run.step_times) {
        let [left, right] = [times.hold_from_s, times.end_s].map(|t| time.x_at(t));
        let block = Rect::from_x_y_ranges(left..=right.max(left + 1.0), band.y_range());
        painter.rect_filled(block, CornerRadius::same(3), palette.block);
        let room = painter.with_clip_rect(block.shrink2(vec2(3.0, 0.0)));
        let at = pos2(block.left() + 4.0, block.center().y);
        if block.width() > 28.0 {
            room.text(
                at,
                Align2::LEFT_CENTER,
                &step.name,
                theme::small(),
                palette.text,
            );
        }
    }
}

/// Cupula, apex, crus and utricle.
fn marks(painter: &Painter, course: Rect, beside: &Beside, palette: &Palette) {
    let of = course_marks(beside);
    let crus = of.crus_mm.map(|mm| ("crus", mm));
    let places = [
        ("cupula", 0.0),
        ("utricle", of.utricle_mm),
        ("apex", of.apex_mm),
    ];
    for (name, mm) in places.into_iter().chain(crus) {
        let y = height(course, beside, mm as f32);
        painter.hline(course.x_range(), y.round() + 0.5, palette.hair());
        let at = pos2(course.left() - 8.0, y);
        painter.text(at, Align2::RIGHT_CENTER, name, theme::small(), palette.weak);
    }
}

fn course_marks(beside: &Beside) -> lithodrome_rehearsal::CourseMarks {
    let CanalId { ear, canal } = beside.asked.canal;
    beside.runs[0].ears[ear.index()].courses[canal.index()]
}

fn height(course: Rect, beside: &Beside, mm: f32) -> f32 {
    let whole = course_marks(beside).utricle_mm as f32;
    // The short arm is a little below the cupula.
    let share = (mm + SHORT_ARM_MM) / (whole.max(1.0) + SHORT_ARM_MM);
    course.bottom() - (course.height() - 8.0) * share - 4.0
}

fn line(
    painter: &Painter,
    course: Rect,
    time: &TimeAxis,
    beside: &Beside,
    (run, track): (&Loaded, &Track),
    dashed: bool,
    palette: &Palette,
) {
    let at = |i: usize| track.course_mm.get(i).copied().unwrap_or(f32::NAN);
    let value = |i: usize| {
        let jumps = i > 0 && (at(i) - at(i - 1)).abs() > JUMP_MM;
        if jumps { f32::NAN } else { at(i) }
    };
    let y = |mm: f32| height(course, beside, mm);
    let stroke = Stroke::new(2.0, palette.debris);
    for points in curve::polylines(time, &run.run.time_s, value, y) {
        if dashed {
            painter.extend(Shape::dashed_line(&points, stroke, 7.0, 5.0));
        } else {
            painter.add(Shape::line(points, stroke));
        }
    }
    // Where it leaves this course for another canal, a word says which.
    let gone = (0..track.course_mm.len()).find(|i| !at(*i).is_finite());
    if let Some(i) = gone {
        let from_mm = i.checked_sub(1).map_or(0.0, at).max(0.0);
        let place = pos2(time.x_at(run.run.time_s[i]) + 8.0, y(from_mm) + 14.0);
        let part = track.place.get(i).map(|place| place.region);
        let name = part.map_or_else(String::new, |p| part_name(beside.asked.canal, p));
        let words = format!("to the {name}");
        painter.text(
            place,
            Align2::LEFT_CENTER,
            words,
            theme::small(),
            palette.text,
        );
    }
}

/// A line and a diamond where they part.
fn parted(painter: &Painter, course: Rect, time: &TimeAxis, parting: &Parting, palette: &Palette) {
    let x = time.x_at(parting.time_s);
    let ends = [pos2(x, course.top() - 8.0), pos2(x, course.bottom())];
    let stroke = Stroke::new(1.0, palette.weak);
    painter.extend(Shape::dashed_line(&ends, stroke, 2.0, 3.0));
    let c = ends[0];
    let corners = [
        vec2(0.0, -5.0),
        vec2(5.0, 0.0),
        vec2(0.0, 5.0),
        vec2(-5.0, 0.0),
    ];
    let corners = corners.map(|d| c + d).to_vec();
    painter.add(Shape::convex_polygon(corners, palette.text, Stroke::NONE));
    let words = format!("part at {}", clock(parting.time_s));
    let (at, anchor) = if x > course.center().x {
        (c + vec2(-9.0, 0.0), Align2::RIGHT_CENTER)
    } else {
        (c + vec2(9.0, 0.0), Align2::LEFT_CENTER)
    };
    painter.text(at, anchor, words, theme::small_strong(), palette.text);
}
