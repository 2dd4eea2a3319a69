//! A found sequence beside the textbook one: which way is down in the head, and how far the debris is, in one ear.

use egui::{Align2, Pos2, Rect, Role, Sense, Stroke, Ui, WidgetInfo, vec2};
use egui_plot::{Line, LineStyle};
use lithodrome_study::TracedCourse;

use crate::{
    kit::{
        controls,
        plot::{name_plot, plain_plot},
        theme::{self, Palette},
    },
    stages::globe::{Globe, Turn},
};

/// Radius of a globe and height of its place, points.
const RADIUS: f32 = 56.0;
const GLOBES_HIGH: f32 = 152.0;
/// Height of the plot, points.
const PLOT_HIGH: f32 = 148.0;
/// Circles of latitude and longitude are drawn with as many points.
const POINTS: usize = 48;

/// Both, the found one first.
pub(super) fn courses_ui(ui: &mut Ui, courses: &[TracedCourse]) {
    let [found, textbook] = courses else { return };
    let palette = Palette::of(ui);
    controls::section(ui, "Beside each other in one ear");
    let words = format!(
        "Solid: the found one, which brings a clump of 50 µm {} in the ear that all are drawn about. Dashed: {}, which \
         brings it {}.",
        end(found),
        textbook.title,
        end(textbook)
    );
    controls::line(ui, words, theme::small(), palette.text);
    let size = vec2(ui.available_width(), GLOBES_HIGH);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| {
        let words = "Gravity globes of the found sequence and of the one beside it";
        WidgetInfo::labeled(Role::Image, true, words)
    });
    let (left, right) = rect.split_left_right_at_fraction(0.5);
    globe_ui(ui, left, found, "found", &palette);
    globe_ui(ui, right, textbook, "beside", &palette);
    course_ui(ui, found, textbook, &palette);
}

fn end(course: &TracedCourse) -> &'static str {
    if course.is_out() { "out" } else { "not out" }
}

/// The way of gravity through the head; behind the globe it is fainter.
fn globe_ui(ui: &Ui, rect: Rect, course: &TracedCourse, name: &str, palette: &Palette) {
    let globe = Globe {
        centre: rect.center() + vec2(0.0, 6.0),
        radius: RADIUS,
        turn: Turn::default(),
    };
    let painter = ui.painter_at(rect);
    painter.circle(globe.centre, RADIUS, palette.stage, palette.hair());
    for ring in rings() {
        let places: Vec<(Pos2, bool)> = ring.iter().map(|v| globe.place(v)).collect();
        for pair in places.windows(2).filter(|pair| pair[0].1 && pair[1].1) {
            painter.line_segment([pair[0].0, pair[1].0], palette.hair());
        }
    }
    let places: Vec<(Pos2, bool)> = course.down_in_head.iter().map(|v| globe.place(v)).collect();
    for pair in places.windows(2) {
        let share = if pair[0].1 && pair[1].1 { 1.0 } else { 0.35 };
        let ink = palette.gravity.gamma_multiply(share);
        painter.line_segment([pair[0].0, pair[1].0], Stroke::new(1.75, ink));
    }
    let ends = places.first().into_iter().chain(places.last());
    for (i, (at, _)) in ends.enumerate() {
        let fill = if i == 0 {
            palette.panel
        } else {
            palette.gravity
        };
        painter.circle(*at, 4.0, fill, Stroke::new(1.5, palette.gravity));
    }
    for (v, label) in [
        (lithodrome_labyrinth::Vec3::x(), "nose"),
        (lithodrome_labyrinth::Vec3::z(), "top"),
        (-lithodrome_labyrinth::Vec3::y(), "right"),
    ] {
        let (at, near) = globe.place(&v);
        let out = (at - globe.centre).normalized() * 10.0;
        let ink = if near { palette.text } else { palette.weak };
        painter.text(at + out, Align2::CENTER_CENTER, label, theme::small(), ink);
    }
    let at = rect.left_top() + vec2(2.0, 0.0);
    painter.text(
        at,
        Align2::LEFT_TOP,
        name,
        theme::small_strong(),
        palette.text,
    );
}

/// The horizontal of the upright head and the plane through nose and crown.
fn rings() -> [Vec<lithodrome_labyrinth::Vec3>; 2] {
    let circle = |of: fn(f64, f64) -> lithodrome_labyrinth::Vec3| -> Vec<_> {
        (0..=POINTS)
            .map(|i| (i as f64 / POINTS as f64 * std::f64::consts::TAU).sin_cos())
            .map(|(sin, cos)| of(sin, cos))
            .collect()
    };
    [
        circle(|sin, cos| lithodrome_labyrinth::Vec3::new(cos, sin, 0.0)),
        circle(|sin, cos| lithodrome_labyrinth::Vec3::new(cos, 0.0, sin)),
    ]
}

/// Where the clump is on its way, over time.
fn course_ui(ui: &mut Ui, found: &TracedCourse, textbook: &TracedCourse, palette: &Palette) {
    let shown = plain_plot(ui, "course of found and textbook", PLOT_HIGH)
        .include_y(0.0)
        .include_y(1.0)
        .x_axis_label("s")
        .y_axis_formatter(|mark, _| match mark.value {
            v if v.abs() < 1e-6 => "cupula".to_owned(),
            v if (v - 1.0).abs() < 1e-6 => "utricle".to_owned(),
            _ => String::new(),
        })
        .show(ui, |plot| {
            for (course, style, name) in [
                (found, LineStyle::Solid, "found"),
                (textbook, LineStyle::dashed_dense(), "beside"),
            ] {
                for piece in pieces(course) {
                    let line = Line::new(name, piece).color(palette.text);
                    plot.line(line.style(style).width(1.75));
                }
            }
        });
    let words = "Way of the debris from cupula to utricle over time, found and beside";
    name_plot(&shown.response, words);
}

/// The curve between the times in which the clump is in another canal.
fn pieces(course: &TracedCourse) -> Vec<Vec<[f64; 2]>> {
    let mut all: Vec<Vec<[f64; 2]>> = vec![Vec::new()];
    for (time_s, way) in course.time_s.iter().zip(&course.way) {
        match (all.last_mut(), way) {
            (Some(piece), Some(way)) => piece.push([*time_s, *way]),
            (Some(piece), None) if !piece.is_empty() => all.push(Vec::new()),
            _ => {}
        }
    }
    all
}
